package org.tenmesh.app.methods;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.stream.Collectors;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodDescription;
import org.tenmesh.core.methods.Source;
import org.tenmesh.core.quantity.Significant;
import org.tenmesh.exchange.methods.MethodSettings;

/** One method for a reader: what it answers, how it is calculated, from what, and how far each number was checked. */
public final class MethodPage {
    private static final Set<String> TOLD_ELSEWHERE = Set.of(
            "quantities", "constants", "results", "inputs", "tables", "lines", "classes", "buffers", "compensation");

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

    /** The kind of a method in a word. */
    public static String kind(Method method) {
        return method.regionalAdvice().isPresent() ? "advice" : method.kind();
    }

    private String text() {
        Method.Head head = method.head();
        sheet.title(head.title());
        sheet.paragraph(head.answers());
        sheet.paragraph(head.summary());
        sheet.paragraph("Method " + sheet.name(method.id()) + ", version " + head.version() + ". " + takes());
        method.regionalAdvice()
                .ifPresent(advice -> sheet.paragraph("This is advice of one region (" + advice.region()
                        + "), not a measurement. It is off unless the laboratory turns it on, stands apart from"
                        + " measurements, and is signed by a person. " + advice.deference()));
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
        head.stored().ifPresent(stored -> {
            sheet.heading("Stored soil");
            sheet.paragraph("Read again within " + stored.comparableDays()
                    + " days of the date of its lab number, soil from the shelf is compared with what was read before. A later reading is held and"
                    + " does not replace it: " + source(stored.source()) + ".");
        });
        if (!head.note().isBlank()) {
            sheet.heading("To know when using the numbers");
            sheet.paragraph(head.note());
        }
        return sheet.toString();
    }

    private String takes() {
        return method.description().reading() + portion();
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
        MethodDescription told = method.description();
        List<String> lines = new ArrayList<>();
        told.formulas().forEach(line -> lines.add(line.name() + " = " + line.text() + range(line)));
        told.classes().forEach(one -> lines.add(one.of() + " is \"" + one.word() + "\" when " + one.when()));
        sheet.formulas(lines);
        if (!told.classes().isEmpty()) {
            sheet.paragraph("Of several classes the first whose condition holds is the result.");
        }
        sheet.table(
                List.of("Symbol", "What it is", "Value", "Unit", "Source"),
                told.symbols().stream()
                        .map(one ->
                                List.of(sheet.name(one.symbol()), one.what(), one.value(), one.unit(), one.source()))
                        .toList());
        sheet.table(
                List.of("Input", "Taken from", "Unit", "Below its limit counts as", "Where there is none"),
                told.inputs().stream()
                        .map(input -> List.of(
                                sheet.name(input.name()),
                                input.from().stream().map(this::origin).collect(Collectors.joining(", else ")),
                                input.unit(),
                                input.below(),
                                input.otherwise()))
                        .toList());
        told.notes().forEach(sheet::paragraph);
        for (MethodDescription.Table table : told.tables()) {
            sheet.paragraph(table.title() + (table.source().isEmpty() ? "" : "; " + table.source()) + ":");
            sheet.table(
                    List.of(table.x(), table.y()),
                    table.rows().stream().map(row -> List.of(row.x(), row.y())).toList());
        }
    }

    private String origin(MethodDescription.Origin origin) {
        return origin.method().isEmpty()
                ? origin.what()
                : origin.what() + " of " + sheet.link(origin.method(), origin.method() + ".md");
    }

    private static String range(MethodDescription.FormulaLine line) {
        if (line.lowest().isEmpty() && line.highest().isEmpty()) {
            return "";
        }
        return line.lowest().isEmpty()
                ? "      (refused above " + line.highest() + ")"
                : line.highest().isEmpty()
                        ? "      (refused below " + line.lowest() + ")"
                        : "      (refused outside " + line.lowest() + " to " + line.highest() + ")";
    }

    private void settings() {
        List<List<String>> rows = new ArrayList<>();
        String kind = method.kind();
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
