package org.tenmesh.exchange.history;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;
import org.tenmesh.core.causes.EarlierSoils;
import org.tenmesh.core.causes.OwnRecord;
import org.tenmesh.core.charts.BiasStudy;
import org.tenmesh.core.charts.ChartKey;
import org.tenmesh.core.charts.ChartValue;
import org.tenmesh.core.charts.ControlHistory;
import org.tenmesh.core.charts.FrozenLimits;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.exchange.csv.CsvFile;
import org.tenmesh.exchange.day.DayFiles;
import org.tenmesh.exchange.file.FileProblems;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.file.TextFile;
import org.tenmesh.exchange.judged.JudgedTable;

/**
 * Earlier days in one folder: each a folder of its own with its {@code runs.csv} and what the judge wrote of it, {@code control-values.csv} and
 * {@code results.csv}, beside it or in a folder {@code judged} inside. Beside the days may stand {@code lots.csv}, {@code limits.csv} and {@code bias.csv}; see
 * docs/day-folder.md. A day that cannot be taken is a problem, and the others count; so is a link that leads out of the folder.
 */
public final class HistoryFolder {
    private static final JudgedTable<ControlValue> VALUES = JudgedTable.CONTROL_VALUES;
    /** Newest days whose soils are read: two months say what is usual for a client, and more takes long to read (choice). */
    private static final int MOST_DAYS_OF_SOILS = 40;

    private static final String LOTS = "lots.csv";
    private static final String LIMITS = "limits.csv";
    private static final String BIAS = "bias.csv";

    private final Path folder;
    private final Limits limits;
    private final List<Problem> problems = new ArrayList<>();

    private HistoryFolder(Path folder, Limits limits) {
        this.folder = folder;
        this.limits = limits;
    }

    /** Reads every earlier day, in the order of the folders' names. Never throws for what is in the files. */
    public static HistoryReading read(Path folder, Limits limits) {
        return new HistoryFolder(folder, limits).read();
    }

    private HistoryReading read() {
        List<Path> days = new ArrayList<>();
        try (Stream<Path> inside = Files.list(folder)) {
            inside.filter(Files::isDirectory).sorted().forEach(days::add);
        } catch (IOException unreadable) {
            problems.add(new Problem(
                    folder.toString(),
                    0,
                    "",
                    "no folder that can be read",
                    "a folder with a folder for each earlier day",
                    "The day is judged without history"));
            return new HistoryReading(ControlHistory.NONE, EarlierSoils.NONE, 0, problems);
        }
        List<ChartValue> entries = new ArrayList<>();
        List<TakenDay> taken = new ArrayList<>();
        for (Path day : days) {
            day(day).ifPresent(own -> {
                entries.addAll(own.entries());
                taken.add(own);
            });
        }
        List<EarlierSoils.EarlierSoil> soils = new ArrayList<>();
        List<OwnRecord.OfDay> record = new ArrayList<>();
        taken.stream()
                .sorted(Comparator.comparing(TakenDay::date).reversed())
                .limit(MOST_DAYS_OF_SOILS)
                .forEach(day -> {
                    EarlierDaySoils of = new EarlierDaySoils(day.folder(), day.date(), limits, problems);
                    List<EarlierSoils.EarlierSoil> its = of.read();
                    soils.addAll(its);
                    of.record(its, day.runs()).ifPresent(record::add);
                });
        return new HistoryReading(
                new ControlHistory(entries, lots(), decided(), bias()),
                new EarlierSoils(soils, new OwnRecord(record)),
                taken.size(),
                problems);
    }

    private record TakenDay(Path folder, LocalDate date, int runs, List<ChartValue> entries) {}

    private record RunHead(String method, String instrument, OffsetDateTime at) {}

    private Optional<TakenDay> day(Path day) {
        String name = String.valueOf(day.getFileName());
        String consequence = "Nothing of this day is taken into the history";
        Path values = EarlierDaySoils.judged(day, VALUES.file());
        FileProblems wrong = new FileProblems(name + "/" + DayFiles.RUNS, consequence);
        Map<String, RunHead> runs = new HashMap<>();
        open(day.resolve(DayFiles.RUNS), List.of("run", "method", "instrument", "started_at"), wrong)
                .ifPresent(csv -> csv.forEach(row -> runs.put(
                        row.text("run"),
                        new RunHead(row.text("method"), row.text("instrument"), row.time("started_at")))));
        if (!wrong.none()) {
            problems.addAll(wrong.all());
            return Optional.empty();
        }
        LocalDate date = runs.values().stream()
                .map(run -> run.at().toLocalDate())
                .min(Comparator.naturalOrder())
                .orElse(LocalDate.MIN);
        FileProblems wrongValues = new FileProblems(name + "/" + VALUES.file(), consequence);
        List<ChartValue> entries = new ArrayList<>();
        open(values, VALUES.needing("run", "position", "material", "analyte", "value", "rules"), wrongValues)
                .ifPresent(csv -> csv.forEach(row -> value(row, runs, date).ifPresent(entries::add)));
        if (!wrongValues.none()) {
            problems.addAll(wrongValues.all());
            return Optional.empty();
        }
        return Optional.of(new TakenDay(day, date, runs.size(), entries));
    }

    private static Optional<ChartValue> value(CsvFile.Row row, Map<String, RunHead> runs, LocalDate date) {
        String run = row.text("run");
        RunHead head = runs.get(run);
        if (head == null) {
            row.wrong("run", "a run of " + DayFiles.RUNS);
            return Optional.empty();
        }
        if (row.cell("value").isEmpty()) {
            return Optional.empty();
        }
        return Optional.of(new ChartValue(
                new ChartKey(row.text("material"), head.method(), row.text("analyte"), head.instrument()),
                date,
                head.at(),
                run,
                row.optionalWhole("position", 0).orElse(0),
                row.number("value"),
                !row.cell("rules").isEmpty()));
    }

    private Map<String, String> lots() {
        Map<String, String> follows = new HashMap<>();
        beside(LOTS, List.of("material", "follows"), row -> {
            String before = follows.putIfAbsent(row.text("material"), row.text("follows"));
            if (before != null) {
                row.wrong("material", "each lot once");
            }
        });
        return follows;
    }

    private List<FrozenLimits> decided() {
        List<FrozenLimits> decided = new ArrayList<>();
        beside(
                LIMITS,
                List.of("material", "method", "analyte", "instrument", "since", "mean", "sd", "n", "by", "why"),
                row -> {
                    Optional<LocalDate> since = row.optionalDate("since");
                    int n = row.optionalWhole("n", 2).orElse(0);
                    double sd = row.number("sd");
                    String by = row.text("by");
                    String why = row.text("why");
                    ChartKey key = new ChartKey(
                            row.text("material"), row.text("method"), row.text("analyte"), row.text("instrument"));
                    double mean = row.number("mean");
                    double within = row.optionalNumber("within_sd").orElse(0);
                    if (since.isEmpty()) {
                        row.text("since");
                    } else if (n < 2) {
                        row.text("n");
                    } else if (!(sd > 0)) {
                        row.wrong("sd", "a standard deviation above 0");
                    } else if (!(within >= 0 && within <= sd)) {
                        row.wrong("within_sd", "at least 0 and at most sd");
                    } else {
                        decided.add(new FrozenLimits(
                                key,
                                since.get(),
                                mean,
                                Math.sqrt(sd * sd - within * within),
                                within,
                                n,
                                row.optionalWhole("runs", 2).orElse(n),
                                row.optionalWhole("days", 1).orElse(0),
                                0,
                                by,
                                why));
                    }
                });
        return decided;
    }

    private List<BiasStudy> bias() {
        List<BiasStudy> studies = new ArrayList<>();
        beside(BIAS, List.of("method", "analyte", "name", "found", "n", "assigned", "u_assigned"), row -> {
            double assigned = row.number("assigned");
            double u = row.number("u_assigned");
            double sd = row.optionalNumber("sd").orElse(0);
            int n = row.optionalWhole("n", 1).orElse(0);
            if (!(assigned > 0)) {
                row.wrong("assigned", "a value above 0");
            } else if (!(u >= 0)) {
                row.wrong("u_assigned", "0 or more");
            } else if (!(sd >= 0)) {
                row.wrong("sd", "0 or more");
            } else if (n < 1) {
                row.text("n");
            } else {
                studies.add(new BiasStudy(
                        row.text("method"),
                        row.text("analyte"),
                        row.text("name"),
                        row.number("found"),
                        sd,
                        n,
                        assigned,
                        u));
            }
        });
        return studies;
    }

    private interface RowReader {
        void read(CsvFile.Row row);
    }

    private void beside(String name, List<String> required, RowReader reader) {
        Path path = folder.resolve(name);
        if (!Files.exists(path)) {
            return;
        }
        FileProblems wrong = new FileProblems(name, "The lines that are named are not taken; the rest counts");
        open(path, required, wrong).ifPresent(csv -> csv.forEach(reader::read));
        problems.addAll(wrong.all());
    }

    private Optional<CsvFile> open(Path path, List<String> required, FileProblems wrong) {
        return TextFile.readInside(folder, path, wrong.file(), limits.fileBytes(), wrong.told(), wrong.consequence())
                .flatMap(text -> CsvFile.open(text, required, wrong));
    }
}
