package org.tenmesh.print.report;

import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.SplittableRandom;
import org.tenmesh.core.derived.PasteWater;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.formula.Operation;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.made.MadeLaboratory;
import org.tenmesh.core.made.MadeSoil;
import org.tenmesh.core.made.MadeSubmission;
import org.tenmesh.core.methods.Advice;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Computed;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.FormulaMethod;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.Portion;
import org.tenmesh.core.methods.Source;
import org.tenmesh.core.methods.Source.Standing;
import org.tenmesh.core.quantity.Rounding;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.report.ClientReport;
import org.tenmesh.core.report.ClientReport.Line;
import org.tenmesh.core.report.ClientReport.ReportedSoil;
import org.tenmesh.print.svg.Svg;

/** Reports of a made-up laboratory. */
final class SampleReports {
    static final String DRIFT = "potassium and magnesium fell along the run; read again from the tray";
    static final String LITTLE = "not enough soil for this determination";

    private static final Source COMMON = new Source("Common practice of soil laboratories", Standing.COMMON_PRACTICE);

    private SampleReports() {}

    private static Analyte analyte(
            String symbol, String name, Unit unit, int decimals, double limit, double low, double high) {
        return new Analyte(
                symbol,
                name,
                unit,
                new Rounding(decimals),
                limit > 0 ? OptionalDouble.of(limit) : OptionalDouble.empty(),
                OptionalDouble.empty(),
                3,
                limit / 3,
                low,
                high);
    }

    static List<Method> methods() {
        Method ph = new ElectrodeMethod(
                new Method.Head(
                        "ph-water-1-1",
                        LocalDate.of(2026, 3, 1),
                        "pH in water, 1:1",
                        "7 g of soil in 7 mL of water, stirred, read by glass electrode after ten minutes.",
                        List.of(COMMON),
                        List.of(analyte("pH", "pH", Unit.PH, 1, 0, 3.5, 9.5)),
                        List.of(),
                        "A pH in water is usually higher than one in calcium chloride on the same soil."),
                7,
                7,
                4,
                List.of(),
                92,
                102,
                30,
                0.05,
                2,
                12,
                0.2);
        Method om = new IgnitionMethod(
                new Method.Head(
                        "om-loi-360",
                        LocalDate.of(2026, 3, 1),
                        "Organic matter, ignition at 360 °C",
                        "Loss on ignition at 360 °C for two hours after drying at 105 °C, through a regression.",
                        List.of(COMMON),
                        List.of(analyte("OM", "organic matter", Unit.PERCENT, 1, 0.2, 0, 10)),
                        List.of(),
                        ""),
                105,
                1,
                360,
                2,
                5,
                3,
                10,
                60,
                10,
                0.2,
                new IgnitionMethod.Regression(LocalDate.of(2026, 3, 1), 1, 0, COMMON));
        List<Analyte> elements = List.of(
                analyte("P", "phosphorus", Unit.MILLIGRAM_PER_KILOGRAM, 0, 2, 0, 200),
                analyte("K", "potassium", Unit.MILLIGRAM_PER_KILOGRAM, 0, 5, 0, 600),
                analyte("Ca", "calcium", Unit.MILLIGRAM_PER_KILOGRAM, 0, 20, 0, 6000),
                analyte("Mg", "magnesium", Unit.MILLIGRAM_PER_KILOGRAM, 0, 5, 0, 800),
                analyte("Na", "sodium", Unit.MILLIGRAM_PER_KILOGRAM, 0, 10, 0, 200),
                analyte("S", "sulfur", Unit.MILLIGRAM_PER_KILOGRAM, 0, 4, 0, 100),
                analyte("B", "boron", Unit.MILLIGRAM_PER_KILOGRAM, 1, 0.2, 0, 4),
                analyte("Cu", "copper", Unit.MILLIGRAM_PER_KILOGRAM, 1, 0.2, 0, 10),
                analyte("Fe", "iron", Unit.MILLIGRAM_PER_KILOGRAM, 0, 2, 0, 500),
                analyte("Mn", "manganese", Unit.MILLIGRAM_PER_KILOGRAM, 0, 1, 0, 300),
                analyte("Zn", "zinc", Unit.MILLIGRAM_PER_KILOGRAM, 1, 0.15, 0, 20),
                analyte("Al", "aluminium", Unit.MILLIGRAM_PER_KILOGRAM, 0, 10, 0, 2000));
        Method m3 = new EmissionMethod(
                new Method.Head(
                        "mehlich3-icp",
                        LocalDate.of(2026, 3, 1),
                        "Mehlich-3 extract, plasma emission",
                        "One scoop of 1 g of soil in 10 mL of the Mehlich-3 extractant, shaken for five minutes,"
                                + " filtered, read by plasma emission.",
                        List.of(
                                new Source(
                                        "A. Mehlich (1984), Mehlich 3 soil test extractant, Commun. Soil Sci. Plant"
                                                + " Anal. 15, 1409-1416",
                                        Standing.FROM_MEMORY),
                                COMMON),
                        elements,
                        List.of(),
                        "Phosphorus read by plasma emission is usually higher than by colour on the same extract."),
                new Extraction(
                        1,
                        10,
                        Extraction.Basis.MASS,
                        0.85,
                        1,
                        Extraction.Diluent.EXTRACTANT,
                        true,
                        Extraction.Shape.LINE,
                        Extraction.Weighting.ONE_OVER_X,
                        new Extraction.Acceptance(0.995, 20, 30, 10),
                        10,
                        0.5,
                        15),
                List.of(),
                Optional.empty(),
                80,
                120,
                List.of(),
                OptionalDouble.empty());
        return List.of(ph, om, m3);
    }

    static ClientReport report(int soils) {
        return report(soils, "Furrow & Field Agronomy", "North bench %d", true);
    }

    static ClientReport report(int soils, String client, String labels, boolean invented) {
        List<Method> methods = methods();
        SplittableRandom random = new SplittableRandom(20_261_125);
        List<ReportedSoil> reported = new ArrayList<>();
        List<ReleasedResult> all = new ArrayList<>();
        LocalDate day = LocalDate.of(2026, 11, 25);
        for (int i = 1; i <= soils; i++) {
            LabNumber number = LabNumber.of(day, 416 + i);
            List<Line> lines = new ArrayList<>();
            for (Method method : methods) {
                for (Analyte analyte : method.head().analytes()) {
                    double share = method.id().equals("ph-water-1-1")
                            ? 0.3 + 0.4 * random.nextDouble()
                            : Math.pow(random.nextDouble(), 2) * 0.9;
                    double value = analyte.scaleLow() + share * (analyte.scaleHigh() - analyte.scaleLow());
                    ReleasedResult result = result(number, method, analyte, value, i, soils);
                    all.add(result);
                    boolean number1 = !result.reported().isEmpty();
                    lines.add(new Line(method, analyte, result, number1 ? Optional.of(share) : Optional.empty()));
                }
            }
            Soil soil = MadeSoil.numbered(number)
                    .of("2207", i)
                    .labelled(String.format(Locale.ROOT, labels, i))
                    .topCm(0)
                    .bottomCm(i % 2 == 0 ? 30 : 15)
                    .regulated(false)
                    .soil();
            reported.add(new ReportedSoil(soil, lines));
        }
        Laboratory laboratory = MadeLaboratory.named("Ashgrove Soil Laboratory")
                .in("Europe/Dublin")
                .at("3 Millrace Lane\nAshgrove\nCounty Nowhere")
                .invented(invented)
                .laboratory();
        Submission submission = MadeSubmission.named("2207")
                .client(client)
                .receivedAt(OffsetDateTime.parse("2026-11-23T09:12:00Z"))
                .promisedOn(LocalDate.of(2026, 11, 26))
                .from("IE")
                .region("County Nowhere")
                .asking("routine")
                .submission();
        Release release = new Release(
                "2207",
                soils == 1 ? 2 : 1,
                "M. Quill, quality",
                OffsetDateTime.parse("2026-11-25T16:41:00Z"),
                soils == 1 ? "redo of potassium" : "first release",
                all);
        return new ClientReport(laboratory, submission, release, reported, methods);
    }

    private static ReleasedResult result(
            LabNumber number, Method method, Analyte analyte, double value, int soil, int soils) {
        boolean drifted = soil > 2 * soils / 3
                && soils > 1
                && (analyte.symbol().equals("K") || analyte.symbol().equals("Mg"));
        boolean little = soil == 2 && analyte.symbol().equals("OM");
        String held = drifted ? DRIFT : little ? LITTLE : "";
        double limit = analyte.reportingLimit().orElse(Double.NEGATIVE_INFINITY);
        boolean below = value < limit;
        String text = held.isEmpty()
                ? below ? "< " + Svg.number(limit) : analyte.rounding().text(value)
                : "";
        String uncertainty = held.isEmpty() && !below
                ? new Rounding(Math.max(analyte.rounding().decimals(), value < 3 ? 1 : 0))
                        .text(2 * analyte.withinSd(value))
                : "";
        return new ReleasedResult(
                number,
                method.id(),
                method.head().version().toString(),
                analyte.symbol(),
                held.isEmpty() ? OptionalDouble.of(value) : OptionalDouble.empty(),
                analyte.unit().ucum(),
                text,
                uncertainty,
                held);
    }

    private record Told(String symbol, String name, Unit unit, int decimals, double limit, double high) {}

    private static Method.Head head(String id, String title, Told... told) {
        List<Analyte> analytes = new ArrayList<>();
        for (Told one : told) {
            analytes.add(analyte(one.symbol(), one.name(), one.unit(), one.decimals(), one.limit(), 0, one.high()));
        }
        return new Method.Head(
                id,
                LocalDate.of(2026, 11, 1),
                title,
                "An invented summary of " + title
                        + ", long enough to be like a true one: ratio, extractant, time and finish.",
                List.of(COMMON),
                analytes,
                List.of(),
                "",
                "",
                id.startsWith("paste-") ? Optional.of(new Portion(PasteWater.PORTION, 250)) : Optional.empty(),
                "",
                List.of());
    }

    private static Method read(String id, String title, Told... told) {
        return new FormulaMethod(head(id, title, told), List.of(), List.of(), List.of(), 10, 0);
    }

    private static Method calculated(Optional<Advice> advice, String id, String title, Told... told) {
        List<Computed> results = new ArrayList<>();
        for (Told one : told) {
            results.add(new Computed(
                    one.symbol(),
                    Optional.of(new Formula.Apply(
                            Operation.DIVIDE, List.of(new Formula.Name("k"), new Formula.Name("mg")))),
                    List.of(),
                    OptionalDouble.empty(),
                    OptionalDouble.empty()));
        }
        return new DerivedMethod(head(id, title, told), List.of(), List.of(), List.of(), results, advice);
    }

    static final String DEFERENCE = "Recommendations of the place and licensed practice come first.";

    /** A long package: what was read, what is calculated from it, and advice, with every word that stands in place of a number. */
    static ClientReport whole(int soils) {
        List<Method> methods = new ArrayList<>(methods());
        Unit kg = Unit.MILLIGRAM_PER_KILOGRAM;
        Unit eq = Unit.MILLIEQUIVALENT_PER_LITRE;
        Unit cmol = Unit.CENTIMOLE_PER_KILOGRAM;
        methods.add(read(
                "ec-1-1", "Conductivity, 1:1", new Told("EC", "conductivity", Unit.DECISIEMENS_PER_METRE, 2, 0.02, 4)));
        methods.add(read(
                "kcl-nitrogen",
                "Nitrate and ammonium, potassium chloride extract",
                new Told("NO3-N", "nitrate nitrogen", kg, 1, 0.5, 60),
                new Told("NH4-N", "ammonium nitrogen", kg, 1, 0.5, 30)));
        methods.add(read("bray-p1", "Phosphorus, dilute acid fluoride", new Told("P", "phosphorus", kg, 0, 1, 120)));
        methods.add(read("olsen-p", "Phosphorus, bicarbonate", new Told("P", "phosphorus", kg, 0, 1, 80)));
        methods.add(read(
                "paste-cations",
                "Saturated paste, cations in the extract",
                new Told("Ca", "calcium", eq, 2, 0.05, 30),
                new Told("Mg", "magnesium", eq, 2, 0.05, 20),
                new Told("Na", "sodium", eq, 2, 0.05, 40),
                new Told("K", "potassium", eq, 2, 0.05, 4)));
        methods.add(read(
                "moisture",
                "Moisture of the air-dry soil",
                new Told("moisture", "moisture", Unit.PERCENT, 1, 0.1, 10)));
        methods.add(calculated(
                Optional.empty(),
                "particle-size",
                "Particle size by hydrometer",
                new Told("sand", "sand", Unit.PERCENT, 0, 1, 100),
                new Told("silt", "silt", Unit.PERCENT, 0, 1, 100),
                new Told("clay", "clay", Unit.PERCENT, 0, 1, 100),
                new Told("texture", "texture class", Unit.ONE, 0, 0, 1)));
        methods.add(calculated(
                Optional.empty(),
                "cec-sum",
                "Exchange capacity by summation",
                new Told("acidity", "exchangeable acidity", cmol, 1, 0.1, 10),
                new Told("Ca_x", "calcium", cmol, 1, 0.1, 30),
                new Told("Mg_x", "magnesium", cmol, 1, 0.1, 10),
                new Told("K_x", "potassium", cmol, 2, 0.01, 3),
                new Told("Na_x", "sodium", cmol, 2, 0.01, 3),
                new Told("CEC", "exchange capacity", cmol, 1, 0.1, 40)));
        methods.add(calculated(
                Optional.empty(),
                "base-saturation",
                "Base saturation",
                new Told("BS", "base saturation", Unit.PERCENT, 0, 1, 100),
                new Told("Ca_sat", "calcium saturation", Unit.PERCENT, 0, 1, 100),
                new Told("Mg_sat", "magnesium saturation", Unit.PERCENT, 0, 1, 50),
                new Told("K_sat", "potassium saturation", Unit.PERCENT, 1, 0.1, 10)));
        methods.add(calculated(
                Optional.empty(),
                "sar",
                "Sodium adsorption ratio",
                new Told("SAR", "sodium adsorption ratio", Unit.ONE, 1, 0.1, 20)));
        methods.add(calculated(
                Optional.of(new Advice("County Nowhere (invented)", DEFERENCE)),
                "lime-nowhere",
                "Lime requirement",
                new Told("lime", "lime requirement", Unit.TONNE_PER_HECTARE, 1, 0.1, 12)));
        ClientReport base = report(soils);
        List<ReportedSoil> reported = new ArrayList<>();
        List<ReleasedResult> all = new ArrayList<>();
        SplittableRandom random = new SplittableRandom(7);
        int i = 0;
        for (ReportedSoil soil : base.soils()) {
            i++;
            List<Line> lines = new ArrayList<>(soil.lines());
            for (Method method : methods.subList(3, methods.size())) {
                for (Analyte analyte : method.head().analytes()) {
                    if (method.id().equals("olsen-p") && i % 3 != 0) {
                        continue;
                    }
                    double share = 0.05 + 0.8 * random.nextDouble();
                    double value = share * analyte.scaleHigh();
                    ReleasedResult result = result(soil.soil().labNumber(), method, analyte, value, i, soils);
                    String word = word(analyte, i);
                    if (!word.isEmpty() && result.heldBecause().isEmpty()) {
                        result = new ReleasedResult(
                                result.labNumber(),
                                result.method(),
                                result.methodVersion(),
                                result.analyte(),
                                OptionalDouble.empty(),
                                result.unit(),
                                word,
                                "",
                                "");
                    }
                    all.add(result);
                    lines.add(new Line(
                            method,
                            analyte,
                            result,
                            result.value().isPresent() ? Optional.of(share) : Optional.empty()));
                }
            }
            reported.add(new ReportedSoil(soil.soil(), lines));
        }
        return new ClientReport(base.laboratory(), base.submission(), base.release(), reported, methods);
    }

    private static String word(Analyte analyte, int soil) {
        if (analyte.symbol().equals("texture")) {
            return List.of("sandy clay loam", "silt loam", "loam").get(soil % 3);
        }
        if (analyte.symbol().equals("NO3-N")) {
            return soil == 1 ? "saturated" : soil == 3 ? "> 60.0" : "";
        }
        return analyte.symbol().equals("moisture") && soil == 2 ? "not enough soil" : "";
    }
}
