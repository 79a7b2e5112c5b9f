package org.tenmesh.exchange.day;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.LostLine;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Standard;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.exchange.file.Problem;

/** The account of a folder's tables: what of their rows the day rests on, what it does not need, and what was used for nothing. */
final class RowsUsed {
    private static final String USED = "";
    private static final String NOT_NEEDED = "not needed";

    private final Day day;
    private final Set<String> read = new HashSet<>();
    // Identities by method and role, as written in readings.
    private final Map<String, Set<String>> inRuns = new HashMap<>();

    RowsUsed(Day day) {
        this.day = day;
        for (Run run : day.runs()) {
            Readings readings = run.readings();
            int last = -1;
            for (int i = 0; i < readings.size(); i++) {
                if (readings.identityCode(i) == last) {
                    continue;
                }
                last = readings.identityCode(i);
                Role role = readings.role(i);
                inRuns.computeIfAbsent(run.method() + "\n" + kind(role), key -> new HashSet<>())
                        .add(readings.identity(i));
                if (role == Role.SAMPLE || role == Role.DUPLICATE) {
                    read.add(readings.identity(i));
                }
            }
        }
    }

    private static String kind(Role role) {
        return role == Role.STANDARD || role == Role.VERIFICATION
                ? "standard"
                : role == Role.CONTROL ? "control" : "soil";
    }

    private boolean ran(String method) {
        return day.runs().stream().anyMatch(run -> run.method().equals(method));
    }

    private Set<String> inRuns(String method, String kind) {
        return inRuns.getOrDefault(method + "\n" + kind, Set.of());
    }

    /** The account of each table that is there. */
    List<RowsOfFile> of(List<TablesRead.Count> counts) {
        List<RowsOfFile> all = new ArrayList<>();
        for (TablesRead.Count count : counts) {
            if (count.refused().isPresent()) {
                all.add(refused(count.file(), count.inFile(), count.refused().get()));
            } else {
                all.add(account(count));
            }
        }
        return all;
    }

    /** The account of a file of which nothing was taken. */
    static RowsOfFile refused(String file, int rows, Problem why) {
        String place = why.line() > 0 ? ", line " + why.line() : "";
        return new RowsOfFile(
                file, rows, 0, 0, rows == 0 ? Map.of() : Map.of("the file could not be taken" + place, rows));
    }

    private RowsOfFile account(TablesRead.Count count) {
        RowsOfFile taken = taken(count);
        if (count.lost() == 0) {
            return taken;
        }
        Map<String, Integer> aside = new LinkedHashMap<>(taken.aside());
        aside.put("the line could not be taken", count.lost());
        return new RowsOfFile(taken.file(), taken.read(), taken.used(), taken.notNeeded(), aside);
    }

    private RowsOfFile taken(TablesRead.Count count) {
        return switch (count.file()) {
            case DayFiles.SAMPLES -> account(count, day.soils(), this::soil);
            case DayFiles.SUBMISSIONS -> {
                Set<String> named = new HashSet<>();
                day.soils().forEach(soil -> soil.submission().ifPresent(named::add));
                yield account(
                        count,
                        day.submissions(),
                        one -> named.contains(one.submission()) ? USED : "a submission without a soil");
            }
            case DayFiles.CONTROLS ->
                account(
                        count,
                        day.controls().keySet().stream()
                                .filter(lab -> !lost(lab))
                                .toList(),
                        lab -> read.contains(lab.text()) ? USED : "a hidden control that no run has read");
            case DayFiles.MATERIALS -> account(count, day.materials(), this::material);
            case DayFiles.STANDARDS -> account(count, day.standards(), this::standard);
            default -> new RowsOfFile(count.file(), count.inFile(), count.taken(), 0, Map.of());
        };
    }

    // A hidden control whose line could not be taken is one all the same.
    private boolean lost(LabNumber lab) {
        return day.lost().stream()
                .anyMatch(line -> line.kind() == LostLine.Kind.HIDDEN_CONTROL
                        && line.name().equals(Optional.of(lab.text())));
    }

    private String soil(Soil soil) {
        boolean short_ = day.shortages().stream().map(Shortage::labNumber).anyMatch(soil.labNumber()::equals);
        return read.contains(soil.labNumber().text()) || short_ ? USED : "a soil that no run has read";
    }

    private String material(Material one) {
        Set<String> soils = inRuns(one.method(), "soil");
        boolean hidden = day.controls().entrySet().stream()
                .anyMatch(key -> key.getValue().equals(one.material())
                        && soils.contains(key.getKey().text()));
        return hidden || inRuns(one.method(), "control").contains(one.material()) ? USED : NOT_NEEDED;
    }

    private String standard(Standard one) {
        if (!ran(one.method())) {
            return NOT_NEEDED;
        }
        return inRuns(one.method(), "standard").contains(one.standard())
                ? USED
                : "a standard that no run of its method has read";
    }

    private static <T> RowsOfFile account(TablesRead.Count count, List<T> rows, Function<T, String> place) {
        int used = 0;
        int notNeeded = 0;
        Map<String, Integer> aside = new LinkedHashMap<>();
        for (T row : rows) {
            switch (place.apply(row)) {
                case USED -> used++;
                case NOT_NEEDED -> notNeeded++;
                default -> aside.merge(place.apply(row), 1, Integer::sum);
            }
        }
        return new RowsOfFile(count.file(), count.inFile(), used, notNeeded, aside);
    }

    /** The account of files of readings. */
    static List<RowsOfFile> ofReadings(Map<String, ReadingsFile> files, Set<String> judged) {
        List<RowsOfFile> all = new ArrayList<>();
        files.forEach((name, file) -> {
            Optional<Problem> why = file.refused();
            if (judged.contains(name)) {
                int taken = file.readings().map(Readings::size).orElse(0);
                all.add(new RowsOfFile(name, file.inFile(), taken, 0, Map.of()));
            } else if (why.isPresent()) {
                all.add(refused(name, file.inFile(), why.get()));
            } else {
                all.add(new RowsOfFile(
                        name,
                        file.inFile(),
                        0,
                        0,
                        file.inFile() == 0 ? Map.of() : Map.of("the run could not be judged", file.inFile())));
            }
        });
        return all;
    }
}
