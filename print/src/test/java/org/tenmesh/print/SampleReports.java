package org.tenmesh.print;

import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.SplittableRandom;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.Source;
import org.tenmesh.core.methods.Source.Standing;
import org.tenmesh.core.quantity.Rounding;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.report.ClientReport;
import org.tenmesh.core.report.ClientReport.Line;
import org.tenmesh.core.report.ClientReport.ReportedSoil;

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
                        "One scoop of 1 g of soil in 10 mL of the Mehlich-3 extractant, shaken for five minutes, filtered, "
                                + "read by plasma emission.",
                        List.of(
                                new Source(
                                        "A. Mehlich (1984), Mehlich 3 soil test extractant, Commun. Soil Sci. Plant Anal. "
                                                + "15, 1409-1416",
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
            Soil soil = new Soil(
                    number,
                    Optional.of("2207"),
                    OptionalInt.of(i),
                    Optional.of(String.format(Locale.ROOT, labels, i)),
                    OptionalDouble.of(0),
                    OptionalDouble.of(i % 2 == 0 ? 30 : 15),
                    Optional.empty(),
                    Optional.of(false));
            reported.add(new ReportedSoil(soil, lines));
        }
        Laboratory laboratory = new Laboratory(
                "Ashgrove Soil Laboratory",
                "Europe/Dublin",
                "3 Millrace Lane\nAshgrove\nCounty Nowhere",
                invented,
                Policy.defaults());
        Submission submission = new Submission(
                "2207",
                client,
                OffsetDateTime.parse("2026-11-23T09:12:00Z"),
                Optional.of(LocalDate.of(2026, 11, 26)),
                Optional.of("IE"),
                Optional.of("County Nowhere"),
                Optional.of("routine"),
                Optional.empty(),
                Optional.empty());
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
}
