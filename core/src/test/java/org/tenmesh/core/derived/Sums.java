package org.tenmesh.core.derived;

import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Stream;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.formula.Operation;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Computed;
import org.tenmesh.core.methods.Constant;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.DerivedMethod.Below;
import org.tenmesh.core.methods.DerivedMethod.From;
import org.tenmesh.core.methods.DerivedMethod.Input;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.methods.Source;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Rounding;
import org.tenmesh.core.quantity.Unit;

/** Exchange capacity by summation and base saturation, as two derived methods of which one rests on the other. */
final class Sums {
    static final LabNumber LAB = new LabNumber("L1");
    static final Source PRACTICE = new Source("common practice", Source.Standing.COMMON_PRACTICE);

    private static final double CA = 200.4;
    private static final double MG = 121.53;
    private static final double K = 390.98;

    static final DerivedMethod CEC = new DerivedMethod(
            head("cec", analyte("K_x", Unit.CENTIMOLE_PER_KILOGRAM, 2), analyte("CEC", Unit.CENTIMOLE_PER_KILOGRAM, 1)),
            List.of(
                    input("ca", "icp", "Ca", "mg/kg"),
                    input("mg", "icp", "Mg", "mg/kg"),
                    input("k", "icp", "K", "mg/kg"),
                    input("ph", "ph", "pH", "[pH]"),
                    new Input(
                            "buffer_ph",
                            List.of(new From("bph", "BpH")),
                            "[pH]",
                            Below.REFUSE,
                            OptionalDouble.empty(),
                            "")),
            List.of(
                    constant("per_ca", CA, "mg/cmol"),
                    constant("per_mg", MG, "mg/cmol"),
                    constant("per_k", K, "mg/cmol"),
                    constant("per_ph", 12, "cmol/kg")),
            List.of(),
            List.of(
                    computed(
                            "acid",
                            of(
                                    Operation.IF,
                                    of(Operation.AT_LEAST, name("ph"), new Formula.Number(7)),
                                    new Formula.Number(0),
                                    of(
                                            Operation.MULTIPLY,
                                            name("per_ph"),
                                            of(Operation.SUBTRACT, new Formula.Number(7), name("buffer_ph"))))),
                    computed("K_x", of(Operation.DIVIDE, name("k"), name("per_k"))),
                    computed(
                            "CEC",
                            of(
                                    Operation.ADD,
                                    of(
                                            Operation.ADD,
                                            of(
                                                    Operation.ADD,
                                                    of(Operation.DIVIDE, name("ca"), name("per_ca")),
                                                    of(Operation.DIVIDE, name("mg"), name("per_mg"))),
                                            name("K_x")),
                                    name("acid")))),
            Optional.empty());

    static final DerivedMethod SATURATION = new DerivedMethod(
            head("saturation", analyte("K_sat", Unit.PERCENT, 1)),
            List.of(input("k", "cec", "K_x", "cmol/kg"), input("cec", "cec", "CEC", "cmol/kg")),
            List.of(),
            List.of(),
            List.of(computed("K_sat", of(Operation.PERCENT, of(Operation.DIVIDE, name("k"), name("cec"))))),
            Optional.empty());

    static final MethodBook METHODS = MethodBook.shipping(CEC, SATURATION);

    private Sums() {}

    static Method.Head head(String id, Analyte... analytes) {
        return new Method.Head(
                id, LocalDate.of(2026, 11, 1), id, "", List.of(PRACTICE), List.of(analytes), List.of(), "");
    }

    static Analyte analyte(String symbol, Unit unit, int decimals) {
        return new Analyte(
                symbol,
                symbol,
                unit,
                new Rounding(decimals),
                OptionalDouble.empty(),
                OptionalDouble.empty(),
                0,
                0,
                0,
                100);
    }

    static Input input(String name, String method, String analyte, String unit) {
        return new Input(name, List.of(new From(method, analyte)), unit, Below.HALF, OptionalDouble.empty(), "");
    }

    static Constant constant(String name, double value, String unit) {
        return new Constant(name, value, unit, PRACTICE);
    }

    static Computed computed(String name, Formula formula) {
        return new Computed(name, Optional.of(formula), List.of(), OptionalDouble.empty(), OptionalDouble.empty());
    }

    static Formula name(String name) {
        return new Formula.Name(name);
    }

    static Formula of(Operation operation, Formula... arguments) {
        return new Formula.Apply(operation, List.of(arguments));
    }

    static Result measured(String method, String analyte, double value, double expanded, Unit unit) {
        return result(LAB, method, analyte, new Amount.Measured(value, unit), expanded, Verdict.FIT);
    }

    static Result result(
            LabNumber lab,
            String method,
            String analyte,
            Amount amount,
            double expanded,
            Verdict verdict,
            String... causes) {
        return new Result(
                lab,
                method,
                LocalDate.of(2026, 11, 1),
                analyte,
                "R1",
                1,
                "",
                amount,
                "x",
                amount instanceof Amount.Measured ? OptionalDouble.of(expanded) : OptionalDouble.empty(),
                verdict,
                List.of(causes));
    }

    static List<Result> standard() {
        return List.of(
                measured("icp", "Ca", 1500, 60, Unit.MILLIGRAM_PER_KILOGRAM),
                measured("icp", "Mg", 250, 12, Unit.MILLIGRAM_PER_KILOGRAM),
                measured("icp", "K", 150, 14, Unit.MILLIGRAM_PER_KILOGRAM),
                measured("ph", "pH", 5.8, 0.1, Unit.PH),
                measured("bph", "BpH", 6.5, 0.08, Unit.PH));
    }

    static Day day(List<Soil> soils, List<TestPackage> packages) {
        return MadeDay.empty().soils(soils).packages(packages).day();
    }

    /** A day on which others ask for every sum; the soil's own package is not known. */
    static Day day() {
        return day(List.of(), EVERYTHING);
    }

    /** Asks for every method of these tests. */
    static final List<TestPackage> EVERYTHING = List.of(new TestPackage(
            "everything",
            "Everything",
            Stream.concat(METHODS.ids().stream().sorted(), Stream.of("q", "lime"))
                    .map(id -> new TestPackage.Asked(id, List.of()))
                    .toList()));
}
