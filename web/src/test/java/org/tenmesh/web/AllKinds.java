package org.tenmesh.web;

import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.formula.Operation;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.methods.Advice;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Computed;
import org.tenmesh.core.methods.ConductivityMethod;
import org.tenmesh.core.methods.Constant;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.Example;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.FlowMethod;
import org.tenmesh.core.methods.FormulaMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.methods.Portion;
import org.tenmesh.core.methods.Source;
import org.tenmesh.core.quantity.Rounding;
import org.tenmesh.core.quantity.Unit;

/** Shipped methods, and one invented for each further kind, so that pages are tested on every kind whatever is shipped. */
final class AllKinds {
    static final String FLOW = "invented-flow";
    static final String CONDUCTIVITY = "invented-conductivity";
    static final String TITRATION = "invented-titration";
    static final String DERIVED = "invented-ratio";
    static final String ADVICE = "invented-advice";
    static final Source INVENTED = new Source("Invented for a test", Source.Standing.FROM_MEMORY);
    static final String DEFERENCE = "Local recommendations and licensed practice come first.";

    static final TestPackage ROUTINE = new TestPackage(
            "standard",
            "Routine",
            List.of(
                    new TestPackage.Asked("ph-water-1-1", List.of()),
                    new TestPackage.Asked("om-loi-360", List.of("OM")),
                    new TestPackage.Asked("mehlich3-icp", List.of("P", "K", "Mg", "Na")),
                    new TestPackage.Asked(CONDUCTIVITY, List.of()),
                    new TestPackage.Asked(FLOW, List.of()),
                    new TestPackage.Asked(TITRATION, List.of()),
                    new TestPackage.Asked(DERIVED, List.of()),
                    new TestPackage.Asked(ADVICE, List.of())));

    static final LocalDate VERSION = LocalDate.of(2026, 11, 1);

    private AllKinds() {}

    static MethodBook with(MethodBook shipped) {
        return shipped.with(List.of(flow(), conductivity(), titration(), derived(), advice()));
    }

    private static Method.Head head(
            String id,
            String title,
            String answers,
            Optional<Portion> portion,
            Analyte analyte,
            List<Example> examples) {
        return new Method.Head(
                id,
                VERSION,
                title,
                "An invented summary of ratio, extractant and finish.",
                List.of(INVENTED, new Source("Common practice", Source.Standing.COMMON_PRACTICE)),
                List.of(analyte),
                List.of("Invented caution of " + id + "."),
                "",
                answers,
                portion,
                "",
                examples);
    }

    private static Analyte analyte(String symbol, String name, Unit unit, int decimals, double limit, double high) {
        return new Analyte(
                symbol,
                name,
                unit,
                new Rounding(decimals),
                OptionalDouble.of(limit),
                OptionalDouble.empty(),
                5,
                limit / 10,
                0,
                high,
                OptionalDouble.of(limit / 4),
                OptionalDouble.of(limit / 2),
                "seven blanks, invented");
    }

    private static Formula name(String name) {
        return new Formula.Name(name);
    }

    private static Formula apply(Operation operation, Formula... arguments) {
        return new Formula.Apply(operation, List.of(arguments));
    }

    private static Computed computed(String name, Formula formula) {
        return new Computed(name, Optional.of(formula), List.of(), OptionalDouble.empty(), OptionalDouble.empty());
    }

    private static Method flow() {
        return new FlowMethod(
                head(
                        FLOW,
                        "Invented nitrate by flow analysis",
                        "How much nitrate is in the soil today?",
                        Optional.of(new Portion("salt-extract", 5)),
                        analyte("NO3-N", "nitrate nitrogen", Unit.MILLIGRAM_PER_KILOGRAM, 1, 0.5, 60),
                        List.of(new Example(
                                Map.of("extract_mg_per_l", 2.0, "blank_mg_per_l", 0.0, "dilution", 1.0),
                                Map.of("NO3-N", "10.0"),
                                INVENTED))),
                new Extraction(
                        5,
                        25,
                        Extraction.Basis.MASS,
                        4,
                        5,
                        Extraction.Diluent.EXTRACTANT,
                        true,
                        Extraction.Shape.QUADRATIC,
                        Extraction.Weighting.NONE,
                        new Extraction.Acceptance(0.995, 20, 20, 10),
                        10,
                        0.5,
                        20),
                List.of(new Extraction.Line("peak", "NO3-N", true)),
                0.02,
                new FlowMethod.CarryOver("CO-low", "CO-high", 2, 20),
                OptionalDouble.of(1.8));
    }

    private static Method conductivity() {
        return new ConductivityMethod(
                head(
                        CONDUCTIVITY,
                        "Invented conductivity, 1:5",
                        "Is the soil salty?",
                        Optional.of(new Portion("suspension-1-5", 10)),
                        analyte("EC", "conductivity", Unit.DECISIEMENS_PER_METRE, 2, 0.02, 4),
                        List.of()),
                10,
                50,
                new ConductivityMethod.Compensation(0.4470, 1.4034, 26.815, 3, 45, INVENTED),
                0.8,
                1.2,
                5,
                10,
                10);
    }

    private static Method titration() {
        return new FormulaMethod(
                head(
                        TITRATION,
                        "Invented organic carbon by titration",
                        "How much organic carbon is there?",
                        Optional.of(new Portion("wet-oxidation", 0.5)),
                        analyte("OC", "organic carbon", Unit.PERCENT, 2, 0.05, 6),
                        List.of(new Example(
                                Map.of("soil", 0.5, "titre", 12.0, "blank_titre", 20.0),
                                Map.of("OC", "1.50"),
                                INVENTED))),
                List.of(
                        new FormulaMethod.Quantity("soil", "air-dry soil", "g", 0.1, 2),
                        new FormulaMethod.Quantity("titre", "ferrous solution used", "mL", 0, 30)),
                List.of(new Constant("strength", 0.0009375, "g/mL", INVENTED)),
                List.of(computed(
                        "OC",
                        apply(
                                Operation.PERCENT,
                                apply(
                                        Operation.DIVIDE,
                                        apply(
                                                Operation.MULTIPLY,
                                                apply(Operation.SUBTRACT, name("blank_titre"), name("titre")),
                                                name("strength")),
                                        name("soil"))))),
                10,
                0.1);
    }

    private static Method derived() {
        return new DerivedMethod(
                head(
                        DERIVED,
                        "Invented ratio of potassium to magnesium",
                        "How do two bases stand to each other?",
                        Optional.empty(),
                        analyte("K_Mg", "potassium to magnesium", Unit.ONE, 2, 0.01, 3),
                        // Wrong on purpose: a page must say so.
                        List.of(new Example(Map.of("k", 150.0, "mg", 60.0), Map.of("K_Mg", "2.40"), INVENTED))),
                List.of(
                        new DerivedMethod.Input(
                                "k",
                                List.of(new DerivedMethod.From("mehlich3-icp", "K")),
                                "mg/kg",
                                DerivedMethod.Below.HALF,
                                OptionalDouble.empty(),
                                ""),
                        new DerivedMethod.Input(
                                "mg",
                                List.of(new DerivedMethod.From("mehlich3-icp", "Mg")),
                                "mg/kg",
                                DerivedMethod.Below.REFUSE,
                                OptionalDouble.empty(),
                                "")),
                List.of(),
                List.of(),
                List.of(computed("K_Mg", apply(Operation.DIVIDE, name("k"), name("mg")))),
                Optional.empty());
    }

    private static Method advice() {
        return new DerivedMethod(
                head(
                        ADVICE,
                        "Invented lime requirement",
                        "How much lime would bring the plough layer to pH 6.5?",
                        Optional.empty(),
                        analyte("lime", "lime requirement", Unit.TONNE_PER_HECTARE, 1, 0.1, 12),
                        List.of()),
                List.of(new DerivedMethod.Input(
                        "ph",
                        List.of(new DerivedMethod.From("ph-water-1-1", "pH")),
                        "[pH]",
                        DerivedMethod.Below.HALF,
                        OptionalDouble.empty(),
                        "")),
                List.of(new Constant("per_ph", 2, "t/har", INVENTED)),
                List.of(),
                List.of(computed(
                        "lime",
                        apply(
                                Operation.MULTIPLY,
                                apply(Operation.SUBTRACT, new Formula.Number(6.5), name("ph")),
                                name("per_ph")))),
                Optional.of(new Advice("County Nowhere (invented)", DEFERENCE)));
    }
}
