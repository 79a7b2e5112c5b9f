package org.tenmesh.core.causes;

import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.TreeMap;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.BufferTable;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.methods.Source;
import org.tenmesh.core.quantity.Rounding;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/** Writes small runs by hand, with numbers a person can check in the head. */
final class Bench {
    static final OffsetDateTime START = MadeDay.MORNING;
    static final LocalDate VERSION = LocalDate.of(2026, 3, 1);
    static final Source PRACTICE = new Source("common practice", Source.Standing.COMMON_PRACTICE);

    static final EmissionMethod ICP = new EmissionMethod(
            head(
                    "mehlich3-icp",
                    List.of(
                            analyte("P", Unit.MILLIGRAM_PER_KILOGRAM, 0, 3),
                            analyte("K", Unit.MILLIGRAM_PER_KILOGRAM, 0, 10))),
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
                    new Extraction.Acceptance(0.995, 20, 20, 10, OptionalInt.of(4)),
                    10,
                    0.5,
                    20),
            List.of(
                    new Extraction.Line("P 213.618", "P", true),
                    new Extraction.Line("P 178.221", "P", false),
                    new Extraction.Line("K 766.491", "K", true)),
            Optional.of("Y 371.029"),
            70,
            130,
            List.of(),
            OptionalDouble.empty());

    static final IgnitionMethod LOI = new IgnitionMethod(
            head("om-loi-360", List.of(analyte("LOI", Unit.PERCENT, 1, 0.05), analyte("OM", Unit.PERCENT, 1, 0.05))),
            105,
            1,
            360,
            14,
            5,
            2,
            10,
            95,
            10,
            0.3,
            new IgnitionMethod.Regression(VERSION, 1, 0, PRACTICE));

    static final ElectrodeMethod PH = new ElectrodeMethod(
            head("ph-water-1-1", List.of(analyte("pH", Unit.PH, 2, Double.NaN))),
            7,
            7,
            4,
            List.of(
                    new BufferTable("4.01", List.of(20.0, 25.0), List.of(4.00, 4.01), PRACTICE),
                    new BufferTable("7.00", List.of(20.0, 25.0), List.of(7.02, 7.00), PRACTICE)),
            95,
            105,
            30,
            0.1,
            2,
            12,
            0.2);

    static final MethodBook METHODS = MethodBook.shipping(ICP, LOI, PH);

    private final MadeRun run;
    private String balance = "2";

    Bench(String run, Method method) {
        this.run = MadeRun.of(run, method.id());
    }

    static Method.Head head(String id, List<Analyte> analytes) {
        return new Method.Head(id, VERSION, id, "", List.of(PRACTICE), analytes, List.of("gloves"), "");
    }

    static Analyte analyte(String symbol, Unit unit, int decimals, double limit) {
        return new Analyte(
                symbol,
                symbol,
                unit,
                new Rounding(decimals),
                Double.isNaN(limit) ? OptionalDouble.empty() : OptionalDouble.of(limit),
                OptionalDouble.empty(),
                5,
                0.01,
                0,
                500);
    }

    /** One position of plasma: counts are 1000 a mg/L for P and 2000 for K, above 10; the internal standard counts 50,000. */
    Bench icp(Role role, String identity, double pMgPerL, double kMgPerL) {
        return icp(role, identity, pMgPerL, kMgPerL, 1, 50_000);
    }

    Bench icp(Role role, String identity, double pMgPerL, double kMgPerL, double dilution, double internalStandard) {
        double share = internalStandard / 50_000;
        run.at(role, identity)
                .diluted(dilution)
                .read("P 213.618", (10 + 1000 * pMgPerL) * share, Unit.PER_SECOND)
                .read("K 766.491", (10 + 2000 * kMgPerL) * share, Unit.PER_SECOND)
                .read("Y 371.029", internalStandard, Unit.PER_SECOND);
        return this;
    }

    /** Standards, a known solution, two blanks and an open control, all in order. */
    Bench icpStart() {
        icp(Role.STANDARD, "WS1", 0, 0);
        icp(Role.STANDARD, "WS2", 2, 4);
        icp(Role.STANDARD, "WS4", 10, 20);
        icp(Role.STANDARD, "WS6", 50, 100);
        icp(Role.VERIFICATION, "QC", 10, 20);
        icp(Role.BLANK, "BLANK", 0, 0);
        icp(Role.BLANK, "BLANK", 0, 0);
        return icp(Role.CONTROL, "LOAM", 3, 15);
    }

    Bench soils(int from, int n) {
        for (int i = 0; i < n; i++) {
            icp(Role.SAMPLE, lab(from + i).text(), 3 + 0.1 * (i % 5), 15 + 0.5 * (i % 7));
        }
        return this;
    }

    /** Which balance weighs what follows. */
    Bench under(String one) {
        balance = one;
        return this;
    }

    Bench weigh(Role role, String identity, double tareG, double dryG, double ashG) {
        run.at(role, identity).channel(balance).read("tare", tareG, Unit.GRAM).read("dry", dryG, Unit.GRAM);
        if (!Double.isNaN(ashG)) {
            run.read("ash", ashG, Unit.GRAM);
        }
        return this;
    }

    Bench probe(Role role, String identity, String channel, double milliVolt, double celsius) {
        run.at(role, identity)
                .channel(channel)
                .read("potential", milliVolt, Unit.MILLIVOLT)
                .read("temperature", celsius, Unit.CELSIUS);
        return this;
    }

    Run run() {
        return run.run();
    }

    static LabNumber lab(int serial) {
        return MadeDay.lab(serial);
    }

    static Day day(Map<LabNumber, String> controls, List<Tray> trays, Run... runs) {
        MadeDay day = MadeDay.empty().controls(controls).trays(trays).runs(runs);
        new TreeMap<>(Map.of("WS1", 0.0, "WS2", 2.0, "WS4", 10.0, "WS6", 50.0, "QC", 10.0))
                .forEach((name, p) -> day.standard(MadeDay.standard(ICP.id(), name, "P", p, Unit.MILLIGRAM_PER_LITRE))
                        .standard(MadeDay.standard(ICP.id(), name, "K", 2 * p, Unit.MILLIGRAM_PER_LITRE)));
        for (double ph : new double[] {4.01, 5, 7.00, 9, 10.01}) {
            day.standard(MadeDay.standard(PH.id(), "B" + (int) ph, "pH", ph, Unit.PH));
        }
        return day.material(MadeDay.material("LOAM", ICP.id(), "P", 30, 1.5, Unit.MILLIGRAM_PER_KILOGRAM))
                .material(MadeDay.material("LOAM", ICP.id(), "K", 150, 6, Unit.MILLIGRAM_PER_KILOGRAM))
                .material(MadeDay.material("LOAM", LOI.id(), "LOI", 4, 0.1, Unit.PERCENT))
                .material(MadeDay.material("LOAM", PH.id(), "pH", 6.5, 0.04, Unit.PH))
                .day();
    }
}
