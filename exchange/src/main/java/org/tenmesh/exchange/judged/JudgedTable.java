package org.tenmesh.exchange.judged;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Function;
import java.util.function.ToDoubleFunction;
import java.util.function.ToLongFunction;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.GroupDifference;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.charts.LowReading;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.judgement.Finding;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.redo.Answer;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.file.TextOut;

/**
 * One table of what the judge says, said once: the file, its columns in their order, and how a row writes each. Whoever reads such a file
 * again names its columns by {@link #needing}, which knows them.
 *
 * @param <T> what a row stands for
 */
public final class JudgedTable<T> {
    /** A result that no longer stands, and why. */
    record Replaced(Result result, String why) {}

    /** A cause with what was read again of it. */
    public record Answered(Cause cause, Optional<Answer> answer) {}

    /** A number that a cause rests on. */
    record Measured(String cause, String run, String method, Measure measure) {}

    /** Every determination that stands. */
    public static final JudgedTable<Result> RESULTS =
            new JudgedTable<Result>("results.csv").with(result -> result).versioned(result -> result);

    static final JudgedTable<Replaced> SUPERSEDED = new JudgedTable<Replaced>("superseded.csv")
            .with(Replaced::result)
            .text("run", r -> r.result().run())
            .text("why", Replaced::why)
            .versioned(Replaced::result);

    /** The causes, each with what was read again of it; the answer's cells are empty for what touches no result. */
    public static final JudgedTable<Answered> CAUSES = new JudgedTable<Answered>("causes.csv")
            .text("cause", c -> c.cause().id())
            .text("kind", c -> c.cause().kind().word())
            .words("run", c -> c.cause().runs())
            .words("method", c -> c.cause().methods())
            .words("analytes", c -> c.cause().analytes())
            .whole("first_position", c -> c.cause().firstPosition())
            .whole("last_position", c -> c.cause().lastPosition())
            .whole("samples", c -> c.cause().samples())
            .text("evidence", c -> c.cause().evidence())
            .text("action", c -> c.cause().action())
            .perhaps("odds", c -> c.cause().log10Odds())
            .text(
                    "runner_up",
                    c -> c.cause().runnerUp().map(next -> next.kind().word()).orElse(""))
            .perhaps("runner_up_odds", c -> number(c.cause().runnerUp().map(Finding.RunnerUp::log10Odds)))
            .text("answer", c -> c.answer().map(one -> one.said().word()).orElse(""))
            .perhaps(
                    "answer_ratio",
                    c -> number(c.answer().filter(one -> one.compared() > 0).map(Answer::log10Ratio)))
            .text(
                    "read_again",
                    c -> c.answer().map(one -> Integer.toString(one.compared())).orElse(""))
            .text(
                    "changed",
                    c -> c.answer().map(one -> Integer.toString(one.changed())).orElse(""))
            .text("answered", c -> c.answer().map(Answer::sentence).orElse(""));

    static final JudgedTable<Measured> MEASURES = new JudgedTable<Measured>("measures.csv")
            .text("cause", Measured::cause)
            .text("run", Measured::run)
            .text("method", Measured::method)
            .text("measure", m -> m.measure().kind().word())
            .text("analyte", m -> m.measure().analyte())
            .text("identity", m -> m.measure().identity())
            .whole("position", m -> m.measure().position())
            .number("found", m -> m.measure().found())
            .perhaps("allowed_low", m -> m.measure().low())
            .perhaps("allowed_high", m -> m.measure().high())
            .text("unit", m -> m.measure().unit());

    static final JudgedTable<GateOutcome> GATES = new JudgedTable<GateOutcome>("gates.csv")
            .text("instrument", GateOutcome::instrument)
            .text("run", GateOutcome::run)
            .text("gate", g -> g.gate().word())
            .text("outcome", g -> g.open() ? "open" : "shut")
            .text("observed", GateOutcome::observed)
            .text("limit", GateOutcome::limit)
            .cell("at", (out, g) -> out.field(g.at()));

    static final JudgedTable<GroupDifference> DIFFERENCES = new JudgedTable<GroupDifference>("differences.csv")
            .text("by", GroupDifference::kind)
            .text("group", GroupDifference::group)
            .text("method", GroupDifference::method)
            .text("analyte", GroupDifference::analyte)
            .number("size", GroupDifference::size)
            .number("low", GroupDifference::low)
            .number("high", GroupDifference::high)
            .text("unit", GroupDifference::unit)
            .whole("soils", GroupDifference::soils)
            .number("log10_chance", GroupDifference::log10Chance)
            .text("told", d -> d.told() ? "yes" : "no");

    /** What each control soil gave. */
    public static final JudgedTable<ControlValue> CONTROL_VALUES = new JudgedTable<ControlValue>("control-values.csv")
            .text("run", ControlValue::run)
            .whole("position", ControlValue::position)
            .text("lab_number", v -> v.hidden() ? v.identity() : "")
            .text("material", ControlValue::material)
            .text("analyte", ControlValue::analyte)
            .number("value", ControlValue::value)
            .number("z", ControlValue::z)
            .words("rules", ControlValue::rules);

    /** What blanks and low check solutions gave. */
    public static final JudgedTable<LowReading> LOW_READINGS = new JudgedTable<LowReading>("low-readings.csv")
            .text("run", LowReading::run)
            .whole("position", LowReading::position)
            .text("method", LowReading::method)
            .text("analyte", LowReading::analyte)
            .text("instrument", LowReading::instrument)
            .text("day", one -> one.day().toString())
            .perhaps("known", LowReading::known)
            .number("value", LowReading::value);

    static final JudgedTable<Problem> PROBLEMS = problems("problems.csv");

    static final JudgedTable<Problem> NOTES = problems("notes.csv");

    /** Writes one cell of a row. */
    private interface Cell<T> {
        void write(TextOut out, T row) throws IOException;
    }

    private final String file;
    private final List<String> columns = new ArrayList<>();
    private final List<Cell<T>> cells = new ArrayList<>();

    private JudgedTable(String file) {
        this.file = file;
    }

    static JudgedTable<Problem> problems(String file) {
        return new JudgedTable<Problem>(file)
                .text("file", Problem::file)
                .text("line", p -> p.line() == 0 ? "" : Integer.toString(p.line()))
                .text("column", Problem::column)
                .text("found", Problem::found)
                .text("expected", Problem::expected)
                .text("consequence", Problem::consequence);
    }

    private static OptionalDouble number(Optional<Double> number) {
        return number.isPresent() ? OptionalDouble.of(number.get()) : OptionalDouble.empty();
    }

    private JudgedTable<T> with(Function<T, Result> of) {
        return text("lab_number", row -> of.apply(row).labNumber().text())
                .text("method", row -> of.apply(row).method())
                .text("analyte", row -> of.apply(row).analyte())
                .number("value", row -> of.apply(row).amount().raw())
                .text("unit", row -> of.apply(row).amount().unit().ucum())
                .text("reported", row -> of.apply(row).reported())
                .perhaps("uncertainty", row -> of.apply(row).expandedUncertainty())
                .text("verdict", row -> of.apply(row).verdict().word())
                .words("causes", row -> of.apply(row).causes());
    }

    private JudgedTable<T> versioned(Function<T, Result> of) {
        return text("method_version", row -> of.apply(row).methodVersion().toString())
                .text("remark", row -> of.apply(row).amount().remark());
    }

    private JudgedTable<T> cell(String column, Cell<T> cell) {
        columns.add(column);
        cells.add(cell);
        return this;
    }

    private JudgedTable<T> text(String column, Function<T, String> text) {
        return cell(column, (out, row) -> out.field(text.apply(row)));
    }

    private JudgedTable<T> whole(String column, ToLongFunction<T> whole) {
        return cell(column, (out, row) -> out.field(whole.applyAsLong(row)));
    }

    /** Empty where there is no number. */
    private JudgedTable<T> number(String column, ToDoubleFunction<T> number) {
        return cell(column, (out, row) -> out.finite(number.applyAsDouble(row)));
    }

    private JudgedTable<T> perhaps(String column, Function<T, OptionalDouble> number) {
        return cell(column, (out, row) -> out.field(number.apply(row)));
    }

    /** Several words in one cell, a semicolon between them. */
    private JudgedTable<T> words(String column, Function<T, List<String>> words) {
        return cell(column, (out, row) -> {
            List<String> all = words.apply(row);
            out.field(all.size() == 1 ? all.get(0) : String.join(";", all));
        });
    }

    /** The file's name in the folder. */
    public String file() {
        return file;
    }

    /**
     * Columns that a reader of this table cannot do without.
     *
     * @throws IllegalArgumentException when the table has no such column
     */
    public List<String> needing(String... names) {
        Arrays.stream(names).filter(name -> !columns.contains(name)).findFirst().ifPresent(name -> {
            throw new IllegalArgumentException(file + " has no column " + name);
        });
        return List.of(names);
    }

    void write(Path folder, Iterable<T> rows) throws IOException {
        writeAs(folder.resolve(file), rows);
    }

    void writeAs(Path path, Iterable<T> rows) throws IOException {
        try (TextOut out = new TextOut(path)) {
            out.fields(columns).end();
            for (T row : rows) {
                for (Cell<T> cell : cells) {
                    cell.write(out, row);
                }
                out.end();
            }
            out.complete();
        }
    }
}
