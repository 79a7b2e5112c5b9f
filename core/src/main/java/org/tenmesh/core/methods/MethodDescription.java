package org.tenmesh.core.methods;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.quantity.Significant;
import org.tenmesh.core.quantity.Unit;

/**
 * A method of its kind for people: how its number is made, with which settings, what to do at the bench. Pages, documents, the command line
 * and the bench show this one text, each what it has room for.
 *
 * @param heading over methods of the kind in a list: "Read by electrode"
 * @param reading one sentence: how its number comes about
 * @param formulas one for each result and step between
 * @param classes those of results that are a word, in the order tried
 * @param symbols what a letter in a formula stands for
 * @param inputs other results it is calculated from
 * @param notes what else a reader of the formulas must know, a paragraph each
 * @param settings what a laboratory may set, each with its unit
 * @param tables that formulas look up
 * @param amount mass and volume, as short as the hand needs them; empty where the portion says it
 * @param steps at the bench, in their order
 */
public record MethodDescription(
        String heading,
        String reading,
        List<FormulaLine> formulas,
        List<ClassLine> classes,
        List<Symbol> symbols,
        List<Input> inputs,
        List<String> notes,
        List<Setting> settings,
        List<Table> tables,
        String amount,
        List<String> steps) {
    public MethodDescription {
        formulas = List.copyOf(formulas);
        classes = List.copyOf(classes);
        symbols = List.copyOf(symbols);
        inputs = List.copyOf(inputs);
        notes = List.copyOf(notes);
        settings = List.copyOf(settings);
        tables = List.copyOf(tables);
        steps = List.copyOf(steps);
    }

    /**
     * One result or step between.
     *
     * @param lowest below this the result is refused; empty text where nothing is
     * @param highest above this it is refused; empty text where nothing is
     * @param reported whether it is a result
     */
    public record FormulaLine(String name, String text, String lowest, String highest, String unit, boolean reported) {}

    /** One class of a result. */
    public record ClassLine(String of, String word, String when) {}

    /**
     * What a letter in a formula stands for.
     *
     * @param value its number, or how it comes about; may be empty
     * @param source where that number comes from; may be empty
     */
    public record Symbol(String symbol, String what, String unit, String value, String source) {}

    /**
     * Another result.
     *
     * @param from where it is taken from, the first that has a number
     * @param below what stands for it below its limit
     * @param otherwise what stands for it where the soil has none
     */
    public record Input(String name, List<Origin> from, String unit, String below, String otherwise) {
        public Input {
            from = List.copyOf(from);
        }
    }

    /**
     * Where an input comes from.
     *
     * @param method id of a method; empty text for the client's sheet
     * @param what the analyte's symbol, or what the sheet says
     */
    public record Origin(String method, String what) {}

    /** A setting and its value with its unit. */
    public record Setting(String what, String value) {}

    /**
     * A table of two columns.
     *
     * @param source may be empty
     */
    public record Table(String title, String x, String y, List<Row> rows, String source) {
        public Table {
            rows = List.copyOf(rows);
        }

        /** One line. */
        public record Row(String x, String y) {}
    }

    /** A description in the making. */
    public static final class Text {
        private final String heading;
        private final String reading;
        private final List<FormulaLine> formulas = new ArrayList<>();
        private final List<ClassLine> classes = new ArrayList<>();
        private final List<Symbol> symbols = new ArrayList<>();
        private final List<Input> inputs = new ArrayList<>();
        private final List<String> notes = new ArrayList<>();
        private final List<Setting> settings = new ArrayList<>();
        private final List<Table> tables = new ArrayList<>();
        private final List<String> steps = new ArrayList<>();
        private String amount = "";

        /** Of a kind. */
        public Text(String heading, String reading) {
            this.heading = heading;
            this.reading = reading;
        }

        /** A result by an arithmetic of the kind's own. */
        public Text formula(String name, String text, String unit) {
            formulas.add(new FormulaLine(name, text, "", "", unit, true));
            return this;
        }

        /** The results of a kind that has its formulas as data, in their order. */
        public Text results(List<Computed> results, List<Analyte> analytes) {
            for (Computed one : results) {
                Optional<Analyte> reported = analytes.stream()
                        .filter(analyte -> analyte.symbol().equals(one.name()))
                        .findFirst();
                one.formula()
                        .ifPresent(formula -> formulas.add(new FormulaLine(
                                one.name(),
                                formula.text(),
                                number(one.lowest()),
                                number(one.highest()),
                                reported.map(analyte -> analyte.unit().spelling())
                                        .orElse(""),
                                reported.isPresent())));
                one.classes()
                        .forEach(each -> classes.add(new ClassLine(
                                one.name(), each.word(), each.when().text())));
            }
            return this;
        }

        /** A letter of a formula; {@code value} may be empty. */
        public Text symbol(String symbol, String what, String unit, String value) {
            symbols.add(new Symbol(symbol, what, unit, value, ""));
            return this;
        }

        /** A named number. */
        public Text constant(Constant constant) {
            symbols.add(new Symbol(
                    constant.name(),
                    "constant",
                    Unit.spellingOf(constant.unit()),
                    number(constant.value()),
                    source(constant.source())));
            return this;
        }

        /** Another result that it is calculated from. */
        public Text input(Input input) {
            inputs.add(input);
            return this;
        }

        /** A paragraph. */
        public Text note(String note) {
            notes.add(note);
            return this;
        }

        /** A setting, its value with its unit. */
        public Text setting(String what, String value) {
            settings.add(new Setting(what, value));
            return this;
        }

        /** What two portions of one soil may differ by. */
        public Text duplicates(double limitPct, double floor) {
            return setting(
                    "Two portions of one soil",
                    "at most " + number(limitPct) + " % of their mean apart"
                            + (floor > 0 ? "; " + number(floor) + " is always allowed" : ""));
        }

        /** A table of two columns of equal length. */
        public Text table(String title, String x, String y, List<Double> xs, List<Double> ys, String source) {
            List<Table.Row> rows = new ArrayList<>();
            for (int i = 0; i < xs.size(); i++) {
                rows.add(new Table.Row(number(xs.get(i)), number(ys.get(i))));
            }
            tables.add(new Table(title, x, y, rows, source));
            return this;
        }

        /** A lookup of a formula. */
        public Text table(Formula.Table table) {
            return table(
                    table.name() + ": straight lines between these points, outside them no result",
                    "at",
                    table.name(),
                    table.x(),
                    table.y(),
                    "");
        }

        /** Mass and volume. */
        public Text amount(String text) {
            amount = text;
            return this;
        }

        /** The next thing to do at the bench. */
        public Text step(String step) {
            steps.add(step);
            return this;
        }

        /** The step that begins the way of most soils. */
        public Text vessels() {
            return step("One vessel for each well, in well order from A1.");
        }

        /** The description. */
        public MethodDescription done() {
            return new MethodDescription(
                    heading, reading, formulas, classes, symbols, inputs, notes, settings, tables, amount, steps);
        }

        private static String number(OptionalDouble value) {
            return value.isPresent() ? number(value.getAsDouble()) : "";
        }

        /** A number in a sentence. */
        public static String number(double value) {
            return Significant.text(value, 12);
        }

        /** A source with how far it was checked. */
        public static String source(Source source) {
            return source.text() + " (" + source.standing().word() + ")";
        }
    }
}
