package org.tenmesh.exchange.history;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.causes.EarlierSoils;
import org.tenmesh.core.causes.OwnRecord;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.redo.Answer;
import org.tenmesh.exchange.csv.CsvFile;
import org.tenmesh.exchange.day.DayFiles;
import org.tenmesh.exchange.file.FileProblems;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.file.TextFile;
import org.tenmesh.exchange.judged.JudgedTable;

/** The clients' soils of one earlier day with their fit results; none where the day has no results beside it. */
final class EarlierDaySoils {
    private static final String CAUSES = JudgedTable.CAUSES.file();
    private static final JudgedTable<Result> RESULTS = JudgedTable.RESULTS;
    private static final String JUDGED = "judged";
    private static final String CONSEQUENCE = "No soil of this day is learnt from; its control soils count";
    private static final String UNKNOWN = "What became of this day's causes is not learnt from";

    private final Path folder;
    private final LocalDate date;
    private final Limits limits;
    private final List<Problem> problems;
    /** One text for each name, however often a file says it. */
    private final Map<String, String> names = new HashMap<>();

    EarlierDaySoils(Path folder, LocalDate date, Limits limits, List<Problem> problems) {
        this.folder = folder;
        this.date = date;
        this.limits = limits;
        this.problems = problems;
    }

    private record Sender(String client, Optional<String> region) {}

    private record Sent(String submission, String label) {}

    List<EarlierSoils.EarlierSoil> read() {
        Path results = judged(folder, RESULTS.file());
        if (!Files.exists(results) || !Files.exists(folder.resolve(DayFiles.SAMPLES))) {
            return List.of();
        }
        Map<String, Sender> senders = new HashMap<>();
        boolean whole = each(
                folder.resolve(DayFiles.SUBMISSIONS),
                List.of("submission", "client"),
                row -> senders.put(
                        row.text("submission"),
                        new Sender(
                                row.text("client"),
                                row.optional("origin_region")
                                        .map(region -> row.cell("origin_country") + " " + region))));
        Map<String, Sent> sent = new LinkedHashMap<>();
        whole &= each(
                folder.resolve(DayFiles.SAMPLES),
                List.of("lab_number"),
                row -> row.optional("submission")
                        .ifPresent(submission ->
                                sent.put(row.text("lab_number"), new Sent(submission, row.cell("client_label")))));
        Map<String, Map<String, Map<String, Double>>> found = new HashMap<>();
        whole &= each(results, RESULTS.needing("lab_number", "method", "analyte", "value", "verdict"), row -> {
            if (row.cell("verdict").equals(Verdict.FIT.word())
                    && !row.cell("value").isEmpty()
                    && sent.containsKey(row.cell("lab_number"))) {
                found.computeIfAbsent(row.cell("lab_number"), lab -> new HashMap<>())
                        .computeIfAbsent(one(row.text("method")), method -> new HashMap<>())
                        .put(one(row.text("analyte")), row.number("value"));
            }
        });
        if (!whole) {
            return List.of();
        }
        List<EarlierSoils.EarlierSoil> soils = new ArrayList<>();
        sent.forEach((labNumber, its) -> Optional.ofNullable(found.get(labNumber))
                .ifPresent(values -> {
                    Sender sender = senders.getOrDefault(its.submission(), new Sender("", Optional.empty()));
                    soils.add(new EarlierSoils.EarlierSoil(
                            date, its.submission(), sender.client(), sender.region(), its.label(), values));
                }));
        return soils;
    }

    /**
     * What became of the day's causes; nothing where its judged files do not say.
     *
     * @param soils as {@link #read()} gave them
     * @param runs of the day
     */
    Optional<OwnRecord.OfDay> record(List<EarlierSoils.EarlierSoil> soils, int runs) {
        Path causes = judged(folder, CAUSES);
        if (soils.isEmpty() || !Files.exists(causes)) {
            return Optional.empty();
        }
        Map<CauseKind, OwnRecord.Became> became = new EnumMap<>(CauseKind.class);
        int[] told = new int[2];
        boolean whole = each(causes, JudgedTable.CAUSES.needing("cause", "kind"), UNKNOWN, row -> {
            String said = row.cell("answer");
            told[said.isEmpty() ? 0 : 1]++;
            // What touches no result is nothing that could be read again.
            if (!said.isEmpty()) {
                boolean yes = said.equals(Answer.Said.CONFIRMED.word());
                boolean no = said.equals(Answer.Said.REFUTED.word());
                OwnRecord.Became one = new OwnRecord.Became(yes ? 1 : 0, no ? 1 : 0, yes || no ? 0 : 1);
                CauseKind.of(row.text("kind"))
                        .ifPresentOrElse(
                                kind -> became.merge(kind, one, OwnRecord.Became::and),
                                () -> row.wrong("kind", "a kind of cause"));
            }
        });
        int each = soils.stream().mapToInt(soil -> soil.results().size()).sum();
        // Files of before there were answers have causes and no answer to any.
        return whole && (told[0] == 0 || told[1] > 0)
                ? Optional.of(new OwnRecord.OfDay(date, each, runs, became))
                : Optional.empty();
    }

    /** What the judge wrote of a day lies beside its other files or in a folder inside. */
    static Path judged(Path day, String name) {
        return Files.exists(day.resolve(name))
                ? day.resolve(name)
                : day.resolve(JUDGED).resolve(name);
    }

    private String one(String name) {
        return names.computeIfAbsent(name, same -> same);
    }

    private interface RowReader {
        void read(CsvFile.Row row);
    }

    private boolean each(Path path, List<String> required, RowReader reader) {
        return each(path, required, CONSEQUENCE, reader);
    }

    private boolean each(Path path, List<String> required, String consequence, RowReader reader) {
        FileProblems wrong = new FileProblems(folder.getFileName() + "/" + path.getFileName(), consequence);
        TextFile.readInside(folder, path, wrong.file(), limits.fileBytes(), wrong.told(), wrong.consequence())
                .flatMap(text -> CsvFile.open(text, required, wrong))
                .ifPresent(csv -> csv.forEach(reader::read));
        problems.addAll(wrong.all());
        return wrong.none();
    }
}
