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
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.function.Function;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.GroupDifference;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.Stretch;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.judgement.Measure;
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
    private static final List<String> RESULT_COLUMNS =
            List.of("lab_number", "method", "analyte", "value", "unit", "reported", "uncertainty", "verdict", "causes");

    private static final String SUMMARY = "summary.json";

    private JudgedFiles() {}

    /**
     * Writes results.csv, superseded.csv, causes.csv, measures.csv, gates.csv, differences.csv, control-values.csv, problems.csv, notes.csv and
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
        results(out.resolve("results.csv"), standing.standing(), result -> "", false);
        Map<Result, String> reasons = standing.reasons(day);
        results(out.resolve("superseded.csv"), standing.superseded(), result -> reasons.getOrDefault(result, ""), true);
        Map<String, Answer> answers = new HashMap<>();
        Answers.of(day, judged).forEach(answer -> answers.put(answer.cause(), answer));
        causes(out.resolve("causes.csv"), judged.causes(), answers);
        measures(out.resolve("measures.csv"), judged.causes());
        gates(out.resolve("gates.csv"), judged.gates());
        differences(out.resolve("differences.csv"), judged.differences());
        controlValues(out.resolve("control-values.csv"), judged.controlValues());
        problems(out.resolve("problems.csv"), problems);
        problems(out.resolve("notes.csv"), notes);
        summary(out.resolve(SUMMARY), day, judged, standing, methods, account, problems);
    }

    private static void results(Path path, List<Result> results, Function<Result, String> why, boolean withRun)
            throws IOException {
        try (TextOut out = new TextOut(path)) {
            out.fields(RESULT_COLUMNS);
            if (withRun) {
                out.field("run").field("why");
            }
            out.field("method_version").field("remark").end();
            for (Result result : results) {
                double value = result.amount().raw();
                out.field(result.labNumber().text()).field(result.method()).field(result.analyte());
                out.finite(value);
                out.field(result.amount().unit().ucum())
                        .field(result.reported())
                        .field(result.expandedUncertainty())
                        .field(result.verdict().word());
                joined(out, result.causes());
                if (withRun) {
                    out.field(result.run()).field(why.apply(result));
                }
                out.field(result.methodVersion().toString())
                        .field(result.amount().remark())
                        .end();
            }
            out.complete();
        }
    }

    private static void joined(TextOut out, List<String> words) throws IOException {
        switch (words.size()) {
            case 0 -> out.field("");
            case 1 -> out.field(words.get(0));
            default -> out.field(String.join(";", words));
        }
    }

    private static void causes(Path path, List<Cause> causes, Map<String, Answer> answers) throws IOException {
        try (TextOut out = new TextOut(path)) {
            out.fields(List.of(
                            "cause",
                            "kind",
                            "run",
                            "method",
                            "analytes",
                            "first_position",
                            "last_position",
                            "samples",
                            "evidence",
                            "action",
                            "odds",
                            "runner_up",
                            "runner_up_odds",
                            "answer",
                            "answer_ratio",
                            "read_again",
                            "changed",
                            "answered"))
                    .end();
            for (Cause cause : causes) {
                out.field(cause.id()).field(cause.kind().word());
                joined(out, cause.runs());
                joined(out, cause.methods());
                joined(out, cause.analytes());
                out.field(cause.firstPosition())
                        .field(cause.lastPosition())
                        .field(cause.samples())
                        .field(cause.evidence())
                        .field(cause.action())
                        .field(cause.log10Odds())
                        .field(cause.runnerUp().map(next -> next.kind().word()).orElse(""))
                        .field(cause.runnerUp()
                                .map(next -> OptionalDouble.of(next.log10Odds()))
                                .orElse(OptionalDouble.empty()));
                answer(out, Optional.ofNullable(answers.get(cause.id())));
            }
            out.complete();
        }
    }

    // What was read again of it; empty cells for what touches no result.
    private static void answer(TextOut out, Optional<Answer> answer) throws IOException {
        out.field(answer.map(one -> one.said().word()).orElse(""))
                .field(answer.filter(one -> one.compared() > 0)
                        .map(one -> OptionalDouble.of(one.log10Ratio()))
                        .orElse(OptionalDouble.empty()))
                .field(answer.map(one -> Integer.toString(one.compared())).orElse(""))
                .field(answer.map(one -> Integer.toString(one.changed())).orElse(""))
                .field(answer.map(Answer::sentence).orElse(""))
                .end();
    }

    // Every number that a cause rests on; of each run the one furthest from what is allowed first.
    private static void measures(Path path, List<Cause> causes) throws IOException {
        try (TextOut out = new TextOut(path)) {
            out.fields(List.of(
                            "cause",
                            "run",
                            "method",
                            "measure",
                            "analyte",
                            "identity",
                            "position",
                            "found",
                            "allowed_low",
                            "allowed_high",
                            "unit"))
                    .end();
            for (Cause cause : causes) {
                for (Stretch stretch : cause.stretches()) {
                    for (Measure one : stretch.measures()) {
                        out.field(cause.id())
                                .field(stretch.run())
                                .field(stretch.method())
                                .field(one.kind().word())
                                .field(one.analyte())
                                .field(one.identity())
                                .field(one.position());
                        out.finite(one.found());
                        out.field(one.low()).field(one.high()).field(one.unit()).end();
                    }
                }
            }
            out.complete();
        }
    }

    private static void differences(Path path, List<GroupDifference> differences) throws IOException {
        try (TextOut out = new TextOut(path)) {
            out.fields(List.of(
                            "by",
                            "group",
                            "method",
                            "analyte",
                            "size",
                            "low",
                            "high",
                            "unit",
                            "soils",
                            "log10_chance",
                            "told"))
                    .end();
            for (GroupDifference difference : differences) {
                out.field(difference.kind())
                        .field(difference.group())
                        .field(difference.method())
                        .field(difference.analyte());
                out.finite(difference.size());
                out.finite(difference.low());
                out.finite(difference.high());
                out.field(difference.unit()).field(difference.soils());
                out.finite(difference.log10Chance());
                out.field(difference.told() ? "yes" : "no").end();
            }
            out.complete();
        }
    }

    private static void gates(Path path, List<GateOutcome> gates) throws IOException {
        try (TextOut out = new TextOut(path)) {
            out.fields(List.of("instrument", "run", "gate", "outcome", "observed", "limit", "at"))
                    .end();
            for (GateOutcome gate : gates) {
                out.field(gate.instrument())
                        .field(gate.run())
                        .field(gate.gate().word())
                        .field(gate.open() ? "open" : "shut")
                        .field(gate.observed())
                        .field(gate.limit())
                        .field(gate.at())
                        .end();
            }
            out.complete();
        }
    }

    private static void controlValues(Path path, List<ControlValue> values) throws IOException {
        try (TextOut out = new TextOut(path)) {
            out.fields(List.of("run", "position", "lab_number", "material", "analyte", "value", "z", "rules"))
                    .end();
            for (ControlValue value : values) {
                out.field(value.run())
                        .field(value.position())
                        .field(value.hidden() ? value.identity() : "")
                        .field(value.material())
                        .field(value.analyte());
                out.finite(value.value());
                out.finite(value.z());
                joined(out, value.rules());
                out.end();
            }
            out.complete();
        }
    }

    /** Writes what could not be taken. */
    public static void problems(Path path, List<Problem> problems) throws IOException {
        try (TextOut out = new TextOut(path)) {
            out.fields(List.of("file", "line", "column", "found", "expected", "consequence"))
                    .end();
            for (Problem problem : problems) {
                out.field(problem.file())
                        .field(problem.line() == 0 ? "" : Integer.toString(problem.line()))
                        .field(problem.column())
                        .field(problem.found())
                        .field(problem.expected())
                        .field(problem.consequence())
                        .end();
            }
            out.complete();
        }
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
