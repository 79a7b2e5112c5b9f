package org.tenmesh.core.reduction;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.formula.Operation;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.References;
import org.tenmesh.core.judgement.RunJudge;
import org.tenmesh.core.judgement.RunJudgement;
import org.tenmesh.core.judgement.Standard;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Computed;
import org.tenmesh.core.methods.ConductivityMethod;
import org.tenmesh.core.methods.Constant;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.Extraction.Line;
import org.tenmesh.core.methods.FlowMethod;
import org.tenmesh.core.methods.FormulaMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.Source;
import org.tenmesh.core.quantity.Rounding;
import org.tenmesh.core.quantity.Unit;

/** A run written on paper: one call a position, all its quantities at once. */
public final class PaperRun {
    public static final Source PRACTICE = new Source("common practice", Source.Standing.COMMON_PRACTICE);
    private static final LocalDate VERSION = LocalDate.of(2026, 11, 1);

    private final Method method;
    private final MadeRun run;
    private final List<Standard> standards = new ArrayList<>();
    private final List<Material> materials = new ArrayList<>();

    public PaperRun(Method method) {
        this.method = method;
        run = MadeRun.of("run-1", method.id()).channel("");
    }

    /** Which cell, balance or detector takes what follows. */
    public PaperRun under(String newChannel) {
        run.channel(newChannel);
        return this;
    }

    /** One position: quantity, value, quantity, value. */
    public PaperRun read(Role role, String identity, Object... quantitiesAndValues) {
        return diluted(1, role, identity, quantitiesAndValues);
    }

    public PaperRun diluted(double dilution, Role role, String identity, Object... quantitiesAndValues) {
        run.at(role, identity).diluted(dilution);
        for (int i = 0; i < quantitiesAndValues.length; i += 2) {
            run.read((String) quantitiesAndValues[i], ((Number) quantitiesAndValues[i + 1]).doubleValue(), Unit.ONE);
        }
        return this;
    }

    public PaperRun known(String standard, String analyte, double value) {
        standards.add(MadeDay.standard(method.id(), standard, analyte, value, Unit.MILLIGRAM_PER_LITRE));
        return this;
    }

    public PaperRun material(String material, String analyte, double mean, double sd) {
        Unit unit = method.analyte(analyte).orElseThrow().unit();
        materials.add(MadeDay.material(material, method.id(), analyte, mean, sd, unit));
        return this;
    }

    public int position() {
        return run.position();
    }

    public Run run() {
        return run.run();
    }

    public References references() {
        return References.of(method.id(), standards, materials);
    }

    public Reduced reduce() {
        return reduce(Trail.OFF);
    }

    public Reduced reduce(Trail trail) {
        return Reduction.reduce(run(), method, references().values(), trail);
    }

    /** Judged by what the run carries alone: most runs on paper carry only what their test is about. */
    public RunJudgement judge() {
        return RunJudge.judge(reduce(), references(), Map.of(), Set.of(), List.of(), Policy.defaults(), Set.of());
    }

    /** Judged with every gate that its kind of method must have passed. */
    public RunJudgement judgeWithItsGates() {
        return RunJudge.judge(reduce(), references(), Map.of(), Policy.defaults());
    }

    public static String lab(int serial) {
        return MadeDay.lab(serial).text();
    }

    // ---- methods

    public static Method.Head head(String id, Analyte... analytes) {
        return new Method.Head(id, VERSION, id, "", List.of(PRACTICE), List.of(analytes), List.of(), "");
    }

    public static Analyte analyte(String symbol, Unit unit, double limit) {
        return new Analyte(
                symbol,
                symbol,
                unit,
                new Rounding(1),
                limit > 0 ? OptionalDouble.of(limit) : OptionalDouble.empty(),
                OptionalDouble.empty(),
                5,
                0.01,
                0,
                500);
    }

    public static Extraction extraction(
            double soilG, double extractMl, Extraction.Basis basis, Extraction.Shape shape) {
        return new Extraction(
                soilG,
                extractMl,
                basis,
                1,
                soilG,
                Extraction.Diluent.EXTRACTANT,
                true,
                shape,
                Extraction.Weighting.ONE_OVER_X,
                new Extraction.Acceptance(0.995, 20, 20, 10),
                10,
                0.5,
                20);
    }

    /** One detector of which the carry-over may be 2 %, the baseline may move by 0.02, and the end is 2.5 absorbance. */
    public static FlowMethod flow(Extraction extraction, Analyte analyte) {
        return new FlowMethod(
                head("flow", analyte),
                extraction,
                List.of(new Line("peak", analyte.symbol(), true)),
                0.02,
                new FlowMethod.CarryOver("CO-low", "CO-high", 2, 20),
                OptionalDouble.of(2.5));
    }

    public static EmissionMethod emission(
            Extraction extraction, List<Analyte> analytes, List<EmissionMethod.Overlap> overlaps) {
        return new EmissionMethod(
                head("emission", analytes.toArray(Analyte[]::new)),
                extraction,
                analytes.stream()
                        .map(analyte -> new Line(analyte.symbol() + " 200.000", analyte.symbol(), true))
                        .toList(),
                Optional.empty(),
                70,
                130,
                overlaps,
                OptionalDouble.of(1e9));
    }

    public static ConductivityMethod conductivity() {
        return new ConductivityMethod(
                head("conductivity", analyte("EC", Unit.DECISIEMENS_PER_METRE, 0.01)),
                20,
                100,
                new ConductivityMethod.Compensation(0.4470, 1.4034, 26.815, 15, 35, PRACTICE),
                0.8,
                1.2,
                5,
                2,
                15);
    }

    public static FormulaMethod.Quantity quantity(String name, String unit, double lowest, double highest) {
        return new FormulaMethod.Quantity(name, name.replace('_', ' '), unit, lowest, highest);
    }

    public static Constant constant(String name, double value, String unit) {
        return new Constant(name, value, unit, PRACTICE);
    }

    public static Computed result(String name, Formula formula, double lowest, double highest) {
        return new Computed(
                name, Optional.of(formula), List.of(), OptionalDouble.of(lowest), OptionalDouble.of(highest));
    }

    public static FormulaMethod formula(
            List<Analyte> analytes,
            List<FormulaMethod.Quantity> quantities,
            List<Constant> constants,
            Computed... results) {
        return new FormulaMethod(
                head("formula", analytes.toArray(Analyte[]::new)), quantities, constants, List.of(results), 10, 0.3);
    }

    // ---- formulas

    public static Formula name(String name) {
        return new Formula.Name(name);
    }

    public static Formula number(double value) {
        return new Formula.Number(value);
    }

    public static Formula of(Operation operation, Formula... arguments) {
        return new Formula.Apply(operation, List.of(arguments));
    }

    /** Air-dry moisture, % of oven-dry soil. */
    public static FormulaMethod moisture() {
        return formula(
                List.of(analyte("moisture", Unit.PERCENT, 0)),
                List.of(
                        quantity("tin", "g", 1, 500),
                        quantity("air_dry", "g", 1, 1000),
                        quantity("oven_dry", "g", 1, 1000)),
                List.of(),
                result(
                        "moisture",
                        of(
                                Operation.PERCENT,
                                of(
                                        Operation.DIVIDE,
                                        of(Operation.SUBTRACT, name("air_dry"), name("oven_dry")),
                                        of(Operation.SUBTRACT, name("oven_dry"), name("tin")))),
                        -0.2,
                        60));
    }

    /** Soil in suspension at two times, % of soil, in 1 L. */
    public static FormulaMethod hydrometer() {
        return formula(
                List.of(analyte("S40", Unit.PERCENT, 0), analyte("S2h", Unit.PERCENT, 0)),
                List.of(
                        quantity("soil", "g", 5, 120),
                        quantity("early", "g/L", -5, 70),
                        quantity("late", "g/L", -5, 70)),
                List.of(constant("volume", 1, "L")),
                result("S40", inSuspension("early"), -3, 105),
                result("S2h", inSuspension("late"), -3, 105));
    }

    private static Formula inSuspension(String reading) {
        Formula net = of(Operation.SUBTRACT, name(reading), name("blank_" + reading));
        return of(Operation.PERCENT, of(Operation.DIVIDE, of(Operation.MULTIPLY, net, name("volume")), name("soil")));
    }
}
