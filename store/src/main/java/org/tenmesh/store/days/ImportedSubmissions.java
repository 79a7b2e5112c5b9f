package org.tenmesh.store.days;

import java.sql.SQLException;
import java.time.LocalDate;
import java.time.temporal.ChronoUnit;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.store.rows.Ids;

/** The submissions of the import: known ones with their ids, and what is new. */
final class ImportedSubmissions {
    private record Known(int id, Submission submission) {}

    private final Importing context;
    private final Map<String, Integer> idsByName = new LinkedHashMap<>();
    private final List<Submission> fresh;
    private final List<Integer> freshIds;

    ImportedSubmissions(Importing context) throws SQLException {
        this.context = context;
        List<Integer> candidates = context.handle()
                .createQuery("select id from intake.submission where register = :register and submission = any(:names)")
                .bind("register", context.register())
                .bindArray(
                        "names",
                        String.class,
                        context.day().submissions().stream()
                                .map(Submission::submission)
                                .toList())
                .mapTo(Integer.class)
                .list();
        List<Known> known = RecordTables.SUBMISSION.values(
                context.connection(),
                "t.id,",
                "where t.id " + Ids.in(candidates),
                row -> new Known(row.integer(), RecordTables.SUBMISSION.read().of(row)));
        List<Submission> given = context.day().submissions().stream()
                .map(ImportedSubmissions::toMicros)
                .toList();
        fresh = Fresh.of(
                given,
                known.stream().map(Known::submission).toList(),
                submission -> submission.submission() + ", received on " + receivedOn(submission),
                "register " + context.register(),
                "submission");
        freshIds = Ids.next(context.handle(), "intake.submission_id", fresh.size());
        for (Submission submission : given) {
            int place = fresh.indexOf(submission);
            idsByName.put(
                    submission.submission(),
                    place >= 0
                            ? freshIds.get(place)
                            : known.stream()
                                    .filter(one -> one.submission().equals(submission))
                                    .findFirst()
                                    .orElseThrow()
                                    .id());
        }
    }

    void copy(int listed) throws SQLException {
        RecordTables.SUBMISSION.copy(
                context.connection(),
                List.of("id", "register", "received_on", "day"),
                fresh,
                (submission, i, row) -> row.integer(freshIds.get(i))
                        .text(context.register())
                        .date(Optional.of(receivedOn(submission)))
                        .integer(listed));
    }

    /**
     * Soils that came in an earlier import, before the submission that they name. Where soils of more than one day wait for that
     * name it is not known whose they are, and they stay under none.
     */
    void claimWaitingSoils() {
        Set<String> named = new HashSet<>();
        context.day().soils().forEach(soil -> soil.submission().ifPresent(named::add));
        for (int i = 0; i < fresh.size(); i++) {
            Submission submission = fresh.get(i);
            if (!named.contains(submission.submission())) {
                context.handle()
                        .createUpdate("""
                                with waiting as (
                                    select s.id, s.day
                                    from intake.day d
                                    join intake.soil s on s.day = d.id
                                    where d.register = :register and d.on_date between :from and :until
                                      and s.submission = :name
                                      and not exists (select from intake.came_in c where c.soil = s.id))
                                insert into intake.came_in (soil, submission)
                                select id, :submission from waiting
                                where (select count(distinct day) from waiting) = 1
                                """)
                        .bind("submission", freshIds.get(i))
                        .bind("register", context.register())
                        .bind("from", receivedOn(submission))
                        .bind("until", receivedOn(submission).plusDays(Importing.WAITS_DAYS))
                        .bind("name", submission.submission())
                        .execute();
            }
        }
    }

    List<Integer> ids() {
        return List.copyOf(idsByName.values());
    }

    /** What is new. */
    List<Submission> fresh() {
        return fresh;
    }

    /** The id of the one that the import brings under this name; empty when it brings none. */
    Optional<Integer> id(String name) {
        return Optional.ofNullable(idsByName.get(name));
    }

    private static LocalDate receivedOn(Submission submission) {
        return submission.receivedAt().toLocalDate();
    }

    private static Submission toMicros(Submission s) {
        return new Submission(
                s.submission(),
                s.client(),
                s.receivedAt().truncatedTo(ChronoUnit.MICROS),
                s.promisedOn(),
                s.originCountry(),
                s.originRegion(),
                s.packageName(),
                s.waterSupplied(),
                s.note());
    }
}
