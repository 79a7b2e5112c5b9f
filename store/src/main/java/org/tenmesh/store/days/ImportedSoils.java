package org.tenmesh.store.days;

import java.sql.SQLException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.store.rows.CopyRows;
import org.tenmesh.store.rows.Ids;
import org.tenmesh.store.rows.Refused;

/** The soils of the import: known ones with their ids, and what is new. */
final class ImportedSoils {
    /** @param submission id of the one it came in, 0 when that is not known */
    private record Known(int id, int submission, Soil soil) {}

    private final Importing context;
    private final Map<String, Integer> ids = new LinkedHashMap<>();
    private final List<Soil> fresh = new ArrayList<>();
    /** Soil and submission, of what is not yet known to belong together. */
    private final Map<Integer, Integer> cameIn = new LinkedHashMap<>();

    ImportedSoils(Importing context, ImportedSubmissions submissions) throws SQLException {
        this.context = context;
        List<Integer> candidates = context.handle()
                .createQuery("select id from intake.soil where register = :register and lab_number = any(:labNumbers)")
                .bind("register", context.register())
                .bindArray(
                        "labNumbers",
                        String.class,
                        context.day().soils().stream()
                                .map(soil -> soil.labNumber().text())
                                .toList())
                .mapTo(Integer.class)
                .list();
        Map<String, Known> known = new HashMap<>();
        if (!candidates.isEmpty()) {
            RecordTables.SOIL
                    .values(
                            context.connection(),
                            "t.id, coalesce(c.submission, 0),",
                            "left join intake.came_in c on c.soil = t.id where t.id " + Ids.in(candidates),
                            row -> new Known(
                                    row.integer(),
                                    row.integer(),
                                    RecordTables.SOIL.read().of(row)))
                    .forEach(one -> known.put(one.soil().labNumber().text(), one));
        }
        Map<String, Integer> earlier = earlierSubmissions(submissions);
        Map<String, Soil> here = new HashMap<>();
        for (Soil soil : context.day().soils()) {
            String number = soil.labNumber().text();
            Soil twice = here.putIfAbsent(number, soil);
            if (twice != null) {
                if (!twice.equals(soil)) {
                    throw another(number, twice, soil);
                }
                continue;
            }
            Known before = known.get(number);
            if (before != null && !before.soil().equals(soil)) {
                throw another(number, before.soil(), soil);
            }
            int submission = soil.submission()
                    .map(name -> submissions.id(name).orElse(earlier.getOrDefault(name, 0)))
                    .orElse(0);
            if (before == null) {
                fresh.add(soil);
                ids.put(number, 0);
            } else {
                ids.put(number, before.id());
                boolean named = soil.submission().flatMap(submissions::id).isPresent();
                if (before.submission() != 0 && named && before.submission() != submission) {
                    throw new Refused("register " + context.register() + " has lab number " + number
                            + " already, in a submission "
                            + soil.submission().orElse("")
                            + " that was received on another date; nothing of the import was stored");
                }
                if (before.submission() == 0 && submission != 0) {
                    cameIn.put(before.id(), submission);
                }
            }
        }
        List<Integer> freshIds = Ids.next(context.handle(), "intake.soil_id", fresh.size());
        for (int i = 0; i < freshIds.size(); i++) {
            Soil soil = fresh.get(i);
            int id = freshIds.get(i);
            ids.put(soil.labNumber().text(), id);
            soil.submission()
                    .map(name -> submissions.id(name).orElse(earlier.getOrDefault(name, 0)))
                    .filter(submission -> submission != 0)
                    .ifPresent(submission -> cameIn.put(id, submission));
        }
    }

    private Refused another(String number, Soil there, Soil here) {
        return new Refused("register " + context.register() + " has lab number " + number
                + " already, for another soil: " + there + " there, " + here
                + " in this import; nothing of the import was stored. A lab number is given once in a register:"
                + " number the soil anew, or, if somebody else numbers these soils, name their register in"
                + " laboratory.yaml");
    }

    /**
     * Submissions that the import's soils name and only earlier imports brought: on the list of the same day, or received shortly
     * before and still without a soil. Any other of that name, as there is one each morning, is somebody else's.
     */
    private Map<String, Integer> earlierSubmissions(ImportedSubmissions submissions) {
        List<String> names = context.day().soils().stream()
                .flatMap(soil -> soil.submission().stream())
                .filter(name -> submissions.id(name).isEmpty())
                .distinct()
                .toList();
        Map<String, Integer> earlier = new HashMap<>();
        if (!names.isEmpty()) {
            context.handle()
                    .createQuery("""
                            select distinct on (b.submission) b.submission, b.id
                            from intake.submission b
                            where b.register = :register and b.submission = any(:names)
                              and b.received_on between :from and :until
                              and (exists (select from intake.day_submission l
                                           where l.submission = b.id and l.day = :listed)
                                   or not exists (select from intake.came_in c where c.submission = b.id))
                            order by b.submission, b.received_on desc
                            """)
                    .bind("register", context.register())
                    .bind("from", context.dates().listed().minusDays(Importing.WAITS_DAYS))
                    .bind("until", context.dates().listed())
                    .bind("listed", context.dayId(context.dates().listed()))
                    .bindArray("names", String.class, names)
                    .map((row, context) -> Map.entry(row.getString(1), row.getInt(2)))
                    .forEach(entry -> earlier.put(entry.getKey(), entry.getValue()));
        }
        return earlier;
    }

    void copy(int listed) throws SQLException {
        RecordTables.SOIL.copy(
                context.connection(),
                List.of("id", "register", "day"),
                fresh,
                (soil, i, row) -> row.integer(ids.getOrDefault(soil.labNumber().text(), 0))
                        .text(context.register())
                        .integer(listed));
        if (!cameIn.isEmpty()) {
            try (CopyRows rows = new CopyRows(context.connection(), "intake.came_in (soil, submission)")) {
                for (Map.Entry<Integer, Integer> one : cameIn.entrySet()) {
                    rows.row(2).integer(one.getKey()).integer(one.getValue());
                }
                rows.end();
            }
        }
    }

    List<Integer> ids() {
        return List.copyOf(ids.values());
    }

    List<String> freshNumbers() {
        return fresh.stream().map(soil -> soil.labNumber().text()).toList();
    }

    /** What is new. */
    List<Soil> fresh() {
        return List.copyOf(fresh);
    }
}
