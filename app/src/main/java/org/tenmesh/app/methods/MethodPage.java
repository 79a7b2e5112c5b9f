package org.tenmesh.app.methods;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.stream.Collectors;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Computed;
import org.tenmesh.core.methods.ConductivityMethod;
import org.tenmesh.core.methods.Constant;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.ExtractionMethod;
import org.tenmesh.core.methods.FlowMethod;
import org.tenmesh.core.methods.FormulaMethod;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.Source;
import org.tenmesh.core.quantity.Significant;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.exchange.methods.MethodSettings;

/** One method for a reader: what it answers, how it is calculated, from what, and how far each number was checked. */
public final class MethodPage {
    private static final Set<String> TOLD_ELSEWHERE =
            Set.of("quantities", "constants", "results", "inputs", "tables", "lines", "classes");

    private final Method method;
    private final List<MethodSettings.Setting> settings;
    private final Sheet sheet;

    private MethodPage(Method method, List<MethodSettings.Setting> settings, Sheet sheet) {
        this.method = method;
        this.settings = settings;
        this.sheet = sheet;
    }

    /** For a terminal. */
    public static String plain(Method method, List<MethodSettings.Setting> settings) {
        return new MethodPage(method, settings, Sheet.plain()).text();
    }

    /** As Markdown. */
    public static String markdown(Method method, List<MethodSettings.Setting> settings) {
        return new MethodPage(method, settings, Sheet.markdown()).text();
    }

    /** The kind of a method in a word or two. */
    public static String kind(Method method) {
        if (method instanceof ElectrodeMethod) {
            return "electrode";
        }
        if (method instanceof IgnitionMethod) {
            return "ignition";
        }
        if (method instanceof ConductivityMethod) {
            return "conductivity";
        }
        if (method instanceof FormulaMethod) {
            return "formula";
        }
        if (method instanceof DerivedMethod derived) {
            return derived.advice().isPresent() ? "advice" : "derived";
        }
        return method instanceof FlowMethod ? "flow" : "emission";
    }

    private String text() {
        Method.Head head = method.head();
        sheet.title(head.title());
        sheet.paragraph(head.answers());
        sheet.paragraph(head.summary());
        sheet.paragraph("Method " + sheet.name(method.id()) + ", version " + head.version() + ". " + takes());
        if (method instanceof DerivedMethod derived) {
            derived.advice()
                    .ifPresent(advice -> sheet.paragraph("This is advice of one region (" + advice.region()
                            + "), not a measurement. It is off unless the laboratory turns it on, stands apart from"
                            + " measurements, and is signed by a person. " + advice.deference()));
        }
        reports();
        calculated();
        settings();
        examples();
        sheet.heading("Sources");
        sheet.list(head.sources().stream().map(MethodPage::source).toList());
        if (!head.cautions().isEmpty()) {
            sheet.heading("Cautions");
            sheet.list(head.cautions());
        }
        if (!head.note().isBlank()) {
            sheet.heading("To know when using the numbers");
            sheet.paragraph(head.note());
        }
        return sheet.toString();
    }

    private String takes() {
        return switch (kind(method)) {
            case "electrode" -> "Read by glass electrode." + portion();
            case "ignition" -> "Weighed before and after the furnace." + portion();
            case "conductivity" -> "Read by conductivity cell." + portion();
            case "formula" -> "Weighed, measured or titrated." + portion();
            case "emission" -> "Extract read by plasma emission." + portion();
            case "flow" -> "Extract read by flow analysis." + portion();
            default -> "Calculated from other results of the same soil; it takes no soil of its own.";
        };
    }

    private String portion() {
        return method.head()
                .portion()
                .map(portion -> " It takes " + plain(portion.soilG()) + " g of soil, the portion "
                        + sheet.name(portion.name()) + ", which it shares with every method that names it.")
                .orElse("");
    }

    private static String source(Source source) {
        return source.text() + " (" + source.standing().word() + ")";
    }

    private void reports() {
        sheet.heading("What it reports");
        List<List<String>> rows = new ArrayList<>();
        for (Analyte analyte : method.head().analytes()) {
            rows.add(List.of(
                    sheet.name(analyte.symbol()),
                    analyte.name(),
                    analyte.unit().spelling(),
                    String.valueOf(analyte.rounding().decimals()),
                    limit(analyte.detectionLimit()),
                    limit(analyte.quantificationLimit()),
                    limit(analyte.reportingLimit()),
                    within(analyte)));
        }
        sheet.table(
                List.of(
                        "Result",
                        "What it is",
                        "Unit",
                        "Decimals",
                        "Detected from",
                        "Quantified from",
                        "Reported from",
                        "Standard deviation within the laboratory"),
                rows);
        Map<String, List<String>> symbols = new LinkedHashMap<>();
        for (MethodSettings.Setting setting : settings) {
            if (setting.where().startsWith("analytes") && !setting.remark().isEmpty()) {
                symbols.computeIfAbsent(
                                sheet.name(setting.key()) + "\n" + spoken(setting.remark()), key -> new ArrayList<>())
                        .add(setting.where().replaceFirst("analytes(, )?", ""));
            }
        }
        List<String> remarks = new ArrayList<>();
        symbols.forEach((said, of) -> {
            String which =
                    of.contains("") || of.size() == method.head().analytes().size()
                            ? ""
                            : " of " + String.join(", ", of);
            remarks.add(said.replace("\n", which + ": "));
        });
        if (!remarks.isEmpty()) {
            sheet.paragraph("Where these numbers come from:");
            sheet.list(remarks);
        }
    }

    private static String limit(OptionalDouble limit) {
        return limit.isPresent() ? plain(limit.getAsDouble()) : "";
    }

    private static String within(Analyte analyte) {
        String floor = plain(analyte.withinFloor()) + (unit(analyte).isEmpty() ? "" : " " + unit(analyte));
        if (analyte.withinRsdPct() == 0) {
            return analyte.withinFloor() == 0 ? "" : floor;
        }
        String share = plain(analyte.withinRsdPct()) + " %";
        return analyte.withinFloor() == 0 ? share : share + " and " + floor;
    }

    private static String unit(Analyte analyte) {
        return analyte.unit().spelling();
    }

    private void calculated() {
        sheet.heading("How it is calculated");
        if (method instanceof FormulaMethod formula) {
            computed(formula.results());
            List<List<String>> rows = new ArrayList<>();
            for (FormulaMethod.Quantity quantity : formula.quantities()) {
                rows.add(List.of(
                        sheet.name(quantity.name()),
                        quantity.description(),
                        Unit.spellingOf(quantity.unit()),
                        "read; " + plain(quantity.lowest()) + " to " + plain(quantity.highest()) + " is possible"));
            }
            symbols(rows, formula.constants());
            if (formula.results().stream().anyMatch(result -> uses(result, "blank_") || uses(result, "standard_"))) {
                sheet.paragraph(
                        "A name after " + sheet.name("blank_") + " is its mean over the blanks of the run, after "
                                + sheet.name("standard_") + " its mean over the standards.");
            }
        } else if (method instanceof DerivedMethod derived) {
            derived(derived);
        } else if (method instanceof ExtractionMethod extraction) {
            extraction(extraction);
        } else if (method instanceof ElectrodeMethod electrode) {
            sheet.formulas(List.of(
                    "pH = 7 − (E − offset) / slope", "slope at t = slope × (t + 273.15) / (calibration t + 273.15)"));
            sheet.paragraph(
                    "E is the potential in mV and t the temperature of the suspension in °C. Slope (mV for one pH) and"
                            + " offset (mV at pH 7) come from each probe's own calibration in buffers at a known temperature.");
            ratio(electrode.soilG(), electrode.liquidMl());
        } else if (method instanceof IgnitionMethod ignition) {
            sheet.formulas(List.of(
                    "LOI = 100 × (dry − ash) / (dry − tare)",
                    "OM = " + plain(ignition.organicMatter().slope()) + " × LOI + "
                            + plain(ignition.organicMatter().intercept())));
            sheet.paragraph("Tare is the empty crucible, dry the crucible with soil dried at "
                    + plain(ignition.dryCelsius()) + " °C, ash the same after " + plain(ignition.ashCelsius())
                    + " °C, all in g. The line from loss to organic matter holds from "
                    + ignition.organicMatter().version() + ": "
                    + source(ignition.organicMatter().source()) + ".");
        } else if (method instanceof ConductivityMethod conductivity) {
            sheet.formulas(List.of("EC = conductance × cell factor × f(t) × dilution"));
            sheet.paragraph(
                    "The cell factor is the known conductivity of a standard over what was read of it. f(t) brings a"
                            + " reading at t °C to 25 °C, with straight lines between the points of the table: "
                            + source(conductivity.compensation()) + ".");
            ratio(conductivity.soilG(), conductivity.liquidMl());
            List<List<String>> rows = new ArrayList<>();
            for (int i = 0; i < conductivity.celsius().size(); i++) {
                rows.add(List.of(
                        plain(conductivity.celsius().get(i)),
                        plain(conductivity.factor().get(i))));
            }
            sheet.table(List.of("t, °C", "f(t)"), rows);
        }
    }

    private void ratio(double soilG, double liquidMl) {
        sheet.paragraph(
                soilG == 0
                        ? "The extract is read as it comes."
                        : plain(soilG) + " g of soil and " + plain(liquidMl) + " mL of liquid.");
    }

    private void extraction(ExtractionMethod method) {
        Extraction extraction = method.extraction();
        String net = extraction.diluent() == Extraction.Diluent.EXTRACTANT ? "(c − b) × D" : "(c × D − b)";
        String formula = switch (extraction.basis()) {
            case MASS ->
                net + " × V / m, with V = " + plain(extraction.extractMl()) + " mL and m = "
                        + plain(extraction.measuredScoopG()) + " g";
            case VOLUME ->
                net + " × V / v, with V = " + plain(extraction.extractMl()) + " mL and v = "
                        + plain(extraction.scoopMl()) + " mL";
            case EXTRACT -> net;
        };
        sheet.formulas(List.of("w = " + formula));
        sheet.paragraph("c is what was read in the extract and b "
                + (extraction.subtractBlank() ? "the mean of the method blanks" : "0, because no blank is taken off")
                + ", both in mg/L; D is the dilution, made with "
                + (extraction.diluent() == Extraction.Diluent.EXTRACTANT ? "extractant" : "water")
                + "; V is the extractant and "
                + switch (extraction.basis()) {
                    case MASS -> "m the measured mass of soil in the scoop. Results are per mass of air-dry soil.";
                    case VOLUME -> "v the volume of the scoop. Results are per volume of soil.";
                    case EXTRACT -> "the result is that of the extract itself.";
                });
        sheet.table(
                List.of("Signal", "Result"),
                method.lines().stream()
                        .map(line -> List.of(
                                sheet.name(line.quantity()), line.element() + (line.preferred() ? "" : ", to compare")))
                        .toList());
        if (method instanceof EmissionMethod emission && !emission.overlaps().isEmpty()) {
            sheet.paragraph("What other elements add to a line is taken off; the share belongs to one instrument and is"
                    + " measured on it:");
            sheet.list(emission.overlaps().stream()
                    .map(overlap -> overlap.quantity() + ": " + plain(overlap.share()) + " mg/L for each mg/L of "
                            + overlap.interferent())
                    .toList());
        }
    }

    private void derived(DerivedMethod derived) {
        computed(derived.results());
        List<List<String>> rows = new ArrayList<>();
        for (DerivedMethod.Input input : derived.inputs()) {
            String from = input.from().stream()
                    .map(one -> one.method().equals(DerivedMethod.From.SHEET)
                            ? one.analyte() + " of the client's sheet"
                            : one.analyte() + " of " + sheet.link(one.method(), one.method() + ".md"))
                    .collect(Collectors.joining(", else "));
            String otherwise = input.otherwise().isPresent()
                    ? "; where there is none, " + plain(input.otherwise().getAsDouble()) + ": " + input.why()
                    : "";
            rows.add(List.of(sheet.name(input.name()), from, Unit.spellingOf(input.unit()), below(input) + otherwise));
        }
        symbols(rows, derived.constants());
        for (Formula.Table table : derived.tables()) {
            sheet.paragraph(
                    "Table " + sheet.name(table.name()) + ", straight lines between its points, no value outside:");
            List<List<String>> points = new ArrayList<>();
            for (int i = 0; i < table.x().size(); i++) {
                points.add(List.of(plain(table.x().get(i)), plain(table.y().get(i))));
            }
            sheet.table(List.of("At", "Value"), points);
        }
        sheet.paragraph(
                "An input on hold holds the result. The standard uncertainty of the inputs is carried through the"
                        + " formula to the first order.");
    }

    private static String below(DerivedMethod.Input input) {
        boolean sheet = input.from().stream().allMatch(one -> one.method().equals(DerivedMethod.From.SHEET));
        return sheet
                ? "as the client wrote it"
                : switch (input.below()) {
                    case HALF -> "below its limit, half the limit stands for it";
                    case ZERO -> "below its limit, 0 stands for it";
                    case LIMIT -> "below its limit, the limit stands for it";
                    case REFUSE -> "below its limit, there is no result";
                };
    }

    private void computed(List<Computed> results) {
        List<String> lines = new ArrayList<>();
        for (Computed result : results) {
            String range = range(result);
            if (result.formula().isPresent()) {
                lines.add(result.name() + " = " + result.formula().get().text() + range);
            }
            for (Computed.Class one : result.classes()) {
                lines.add(result.name() + " is \"" + one.word() + "\" when "
                        + one.when().text());
            }
        }
        sheet.formulas(lines);
        if (results.stream().anyMatch(result -> !result.classes().isEmpty())) {
            sheet.paragraph("Of several classes the first whose condition holds is the result.");
        }
    }

    private static String range(Computed result) {
        if (result.lowest().isEmpty() && result.highest().isEmpty()) {
            return "";
        }
        String low = limit(result.lowest());
        String high = limit(result.highest());
        return low.isEmpty()
                ? "      (refused above " + high + ")"
                : high.isEmpty()
                        ? "      (refused below " + low + ")"
                        : "      (refused outside " + low + " to " + high + ")";
    }

    private static boolean uses(Computed result, String start) {
        return result.formula().stream()
                        .anyMatch(formula -> formula.names().stream().anyMatch(name -> name.startsWith(start)))
                || result.classes().stream()
                        .anyMatch(one -> one.when().names().stream().anyMatch(name -> name.startsWith(start)));
    }

    private void symbols(List<List<String>> rows, List<Constant> constants) {
        List<List<String>> all = new ArrayList<>(rows);
        for (Constant constant : constants) {
            all.add(List.of(
                    sheet.name(constant.name()),
                    plain(constant.value()),
                    Unit.spellingOf(constant.unit()),
                    source(constant.source())));
        }
        sheet.table(List.of("Symbol", "What it is", "Unit", "From where"), all);
    }

    private void settings() {
        List<List<String>> rows = new ArrayList<>();
        String kind = kind(method).equals("advice") ? "derived" : kind(method);
        for (MethodSettings.Setting setting : settings) {
            List<String> where = List.of(setting.where().split(", "));
            boolean own = where.get(0).equals(kind)
                    || setting.where().isEmpty() && !setting.key().equals("analytes");
            boolean told =
                    where.size() > 1 && TOLD_ELSEWHERE.contains(where.get(1)) || TOLD_ELSEWHERE.contains(setting.key());
            if (own && (!told || !setting.remark().isEmpty())) {
                String inner = where.size() > 1 ? String.join(" ", where.subList(1, where.size())) + " " : "";
                rows.add(List.of(
                        sheet.name((inner + setting.key()).strip()),
                        setting.value().replaceAll("^\\{|}$", ""),
                        spoken(setting.remark())));
            }
        }
        if (!rows.isEmpty()) {
            sheet.heading("Settings");
            sheet.paragraph("As they stand in the method's file. A laboratory changes them by a version of its own.");
            sheet.table(List.of("Setting", "Value", "How far it was checked"), rows);
        }
    }

    /** A remark with its marks in round brackets. */
    static String spoken(String remark) {
        return remark.replace("[read]", "(read)")
                .replace("[common practice]", "(common practice)")
                .replace("[from memory]", "(from memory)")
                .replace("[choice]", "(this program's choice)");
    }

    private void examples() {
        List<Worked> examples = Worked.of(method);
        if (examples.isEmpty()) {
            return;
        }
        sheet.heading(examples.size() == 1 ? "Worked example" : "Worked examples");
        for (Worked worked : examples) {
            sheet.paragraph("Given " + worked.given() + ".");
            sheet.formulas(worked.steps());
            List<String> outcomes = new ArrayList<>();
            worked.example().expected().forEach((symbol, expected) -> {
                String unit = method.analyte(symbol).map(MethodPage::unit).orElse("");
                String got = worked.got().getOrDefault(symbol, "");
                outcomes.add(symbol + " " + expected + (unit.isEmpty() ? "" : " " + unit)
                        + (expected.equals(got) ? "" : " expected, but the program gives " + got));
            });
            sheet.paragraph("Reported: " + String.join(", ", outcomes) + ". Source: "
                    + source(worked.example().source()) + ".");
        }
    }

    private static String plain(double number) {
        return Significant.text(number, 12);
    }
}
