package org.tenmesh.exchange.judged;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.redo.Answer;
import org.tenmesh.core.redo.Answers;
import org.tenmesh.core.redo.Standing;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.file.TextOut;
import org.tenmesh.exchange.file.WholeFolder;
import org.tenmesh.exchange.json.Json;

/**
 * What the judge says of a day, as files for machines: the same day and engine always give the same bytes. Cells are
 * written as they are; only exports meant for people's spreadsheets disarm cells that look like formulas.
 */
public final class JudgedFiles {
    private static final String SUMMARY = "summary.json";

    private JudgedFiles() {}

    /**
     * Writes results.csv, superseded.csv, causes.csv, measures.csv, gates.csv, differences.csv, control-values.csv, low-readings.csv, problems.csv, notes.csv
     * and
     * summary.json into a folder, all of them or none.
     *
     * @param account where everything that was read ended
     * @param problems everything of the input that could not be taken
     * @param notes what was taken as it could be, or is used by nobody
     */
    public static void write(
            Path folder,
            Day day,
            Standing standing,
            MethodBook methods,
            DayAccount account,
            List<Problem> problems,
            List<Problem> notes)
            throws IOException {
        WholeFolder.write(folder, SUMMARY, out -> files(out, day, standing, methods, account, problems, notes));
    }

    private static void files(
            Path out,
            Day day,
            Standing standing,
            MethodBook methods,
            DayAccount account,
            List<Problem> problems,
            List<Problem> notes)
            throws IOException {
        JudgedDay judged = standing.judged();
        JudgedTable.RESULTS.write(out, standing.standing());
        Map<Result, String> reasons = standing.reasons(day);
        JudgedTable.SUPERSEDED.write(
                out,
                standing.superseded().stream()
                        .map(one -> new JudgedTable.Replaced(one, reasons.getOrDefault(one, "")))
                        .toList());
        Map<String, Answer> answers = new HashMap<>();
        Answers.of(day, judged).forEach(answer -> answers.put(answer.cause(), answer));
        JudgedTable.CAUSES.write(
                out,
                judged.causes().stream()
                        .map(cause -> new JudgedTable.Answered(cause, Optional.ofNullable(answers.get(cause.id()))))
                        .toList());
        JudgedTable.MEASURES.write(out, measures(judged.causes()));
        JudgedTable.GATES.write(out, judged.gates());
        JudgedTable.DIFFERENCES.write(out, judged.differences());
        JudgedTable.CONTROL_VALUES.write(out, judged.controlValues());
        JudgedTable.LOW_READINGS.write(out, judged.lowReadings());
        JudgedTable.PROBLEMS.write(out, problems);
        JudgedTable.NOTES.write(out, notes);
        summary(out.resolve(SUMMARY), day, judged, standing, methods, account, problems);
    }

    // Every number that a cause rests on; of each run the one furthest from what is allowed first.
    private static List<JudgedTable.Measured> measures(List<Cause> causes) {
        return causes.stream()
                .flatMap(cause -> cause.stretches().stream()
                        .flatMap(stretch -> stretch.measures().stream()
                                .map(one ->
                                        new JudgedTable.Measured(cause.id(), stretch.run(), stretch.method(), one))))
                .toList();
    }

    /** Writes what could not be taken. */
    public static void problems(Path path, List<Problem> problems) throws IOException {
        JudgedTable.PROBLEMS.writeAs(path, problems);
    }

    private static void summary(
            Path path,
            Day day,
            JudgedDay judged,
            Standing standing,
            MethodBook methods,
            DayAccount account,
            List<Problem> problems)
            throws IOException {
        Map<String, Set<String>> versions = new TreeMap<>();
        day.runs()
                .forEach(run -> methods.find(run.method(), day.dateOf(run))
                        .ifPresent(method -> versions.computeIfAbsent(method.id(), id -> new TreeSet<>())
                                .add(method.head().version().toString())));
        int[] verdicts = new int[Verdict.values().length];
        standing.standing().forEach(result -> verdicts[result.verdict().ordinal()]++);
        Map<String, Integer> kinds = new TreeMap<>();
        judged.causes().forEach(cause -> kinds.merge(cause.kind().word(), 1, Integer::sum));
        long open = judged.gates().stream().filter(GateOutcome::open).count();

        Map<String, Object> methodVersions = new LinkedHashMap<>();
        versions.forEach((id, its) -> methodVersions.put(id, String.join(";", its)));
        Map<String, Object> results = new LinkedHashMap<>();
        for (Verdict verdict : Verdict.values()) {
            results.put(verdict.word(), verdicts[verdict.ordinal()]);
        }
        Policy policy = day.laboratory().policy();
        Map<String, Object> changes = new LinkedHashMap<>();
        policy.changes().forEach((setting, numbers) -> changes.put(setting.key(), written(setting, numbers)));
        Map<String, Object> summary = Json.object(
                "engine", engineVersion(),
                "methods", methodVersions,
                "policy", policy.version(),
                "policy_changed", policy.changes().size(),
                "policy_changes", changes,
                "results", results,
                "superseded", standing.superseded().size(),
                "runs", day.runs().size(),
                "gates", Json.object("open", open, "shut", judged.gates().size() - open),
                "causes", kinds,
                "problems", problems.size(),
                "readings", readings(account),
                "rows", rows(account),
                "set_aside", account.sentences(),
                "adds_up", account.problems().isEmpty());
        try (TextOut out = new TextOut(path)) {
            out.raw(Json.lines(summary));
            out.complete();
        }
    }

    private static Map<String, Object> readings(DayAccount account) {
        Map<String, Object> readings = new LinkedHashMap<>();
        readings.put("read", account.balance().read());
        account.balance()
                .places()
                .forEach((place, count) -> readings.put(place.word().replace(' ', '_'), count));
        return readings;
    }

    private static Map<String, Object> rows(DayAccount account) {
        Map<String, Object> rows = new LinkedHashMap<>();
        account.rows()
                .forEach(file -> rows.put(
                        file.file(),
                        Json.object(
                                "read", file.read(),
                                "used", file.used(),
                                "not_needed", file.notNeeded(),
                                "set_aside", file.setAside())));
        return rows;
    }

    private static Object written(Setting setting, List<Double> numbers) {
        return switch (setting.kind()) {
            case NUMBER -> numbers.get(0);
            case WHOLE -> numbers.get(0).longValue();
            case LIST -> numbers;
        };
    }

    /** The version of the program that judged, such as {@code 0.1.0}. */
    static String engineVersion() {
        try (InputStream in = JudgedFiles.class.getResourceAsStream("/org/tenmesh/exchange/engine-version.txt")) {
            if (in == null) {
                throw new IllegalStateException("engine-version.txt is not in the program");
            }
            return new String(in.readAllBytes(), StandardCharsets.UTF_8).strip();
        } catch (IOException unreadable) {
            throw new UncheckedIOException(unreadable);
        }
    }
}
