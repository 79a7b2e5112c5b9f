package org.tenmesh.app.check;

import java.time.LocalDate;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.intake.CheckCharacter;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.Extraction.Basis;
import org.tenmesh.core.methods.Extraction.Diluent;
import org.tenmesh.core.methods.ExtractionMethod;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.MolarMass;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Reduction;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.reduction.Trail;

/** Results of shipped methods, extractions, lab numbers, units. */
final class SoilSubjects {
    private static final double THOUSAND_SQUARE_FEET_PER_ACRE = 43.56;
    private static final double SCOOP_ML = 4.0;

    private SoilSubjects() {}

    static void onto(Subjects subjects) {
        subjects.number("result", given -> AsShipped.amount(given).raw());
        subjects.any("report", SoilSubjects::reported);
        subjects.number(
                "difference",
                given -> AsShipped.amount(given).raw()
                        - AsShipped.amount(given.method(), given.word("less"), AsShipped.numbers(given))
                                .raw());
        subjects.number("run", SoilSubjects::run);
        subjects.number("extraction", SoilSubjects::extraction);
        subjects.number("hydrometer share", SoilSubjects::hydrometer);
        subjects.number("points of a class", SoilSubjects::pointsOfAClass);
        // Without magnesium and with one meq of sodium the ratio tells the calcium: 2 / SAR².
        subjects.number("calcium kept", given -> {
            double sar = AsShipped.amount(given).raw();
            return 2 / (sar * sar);
        });
        // The printed table rounds twice: to 1000 lb an acre, then to 10 lb on 1000 square feet.
        subjects.number("lime on 1000 square feet", given -> {
            double thousands = Math.floor(AsShipped.amount(given).raw() / 1000 + 0.5) * 1000;
            return Math.floor(thousands / THOUSAND_SQUARE_FEET_PER_ACRE / 10 + 0.5) * 10;
        });
        subjects.number(
                "molar factor", given -> MolarMass.factor(given.word("from"), given.word("to"), given.word("element")));
        subjects.number(
                "centimole", given -> MolarMass.mgPerKgOfOneCentimole(given.word("element"), given.whole("charge")));
        subjects.number("molar mass", given -> given.number("moles") * MolarMass.of(given.word("of")));
        subjects.any("check character", given -> Character.toString(CheckCharacter.of(given.word("of"))));
        subjects.any(
                "lab number day",
                given -> LabNumber.of(LocalDate.parse(given.word("date")), 1)
                        .text()
                        .substring(0, 5));
        subjects.any("unit code", given -> Unit.valueOf(given.word("unit")).ucum());
        subjects.any("setting", AsShipped::setting);
    }

    private static String reported(Given given) {
        Amount amount = AsShipped.amount(given);
        return amount instanceof Amount.Missing
                ? "no number"
                : given.method()
                        .analyte(given.symbol())
                        .orElseThrow()
                        .rounding()
                        .text(amount);
    }

    // A whole run: the published standards calibrate, then one of them comes as an extract, read while the instrument
    // has lost a
    // tenth of its signal, which the internal standard puts right.
    private static double run(Given given) {
        EmissionMethod method = (EmissionMethod) given.method();
        String symbol = given.symbol();
        String internal = method.internalStandard().orElseThrow();
        String line = AsShipped.line(method, symbol);
        double[] standards = given.numbers("standards");
        Map<String, Double> known = new HashMap<>();
        Readings.Builder readings = Readings.builder();
        for (int i = 0; i <= standards.length; i++) {
            boolean soil = i == standards.length;
            double mgPerL = soil ? given.number("read") : standards[i];
            double sensitivity = soil ? 0.9 : 1;
            Role role = soil ? Role.SAMPLE : Role.STANDARD;
            String identity = soil ? "soil" : "standard " + i;
            known.put(identity, mgPerL);
            readings.add(i + 1, role, identity, "", internal, 100_000 * sensitivity, Unit.PER_SECOND, AsShipped.AT, 1);
            readings.add(
                    i + 1,
                    role,
                    identity,
                    "",
                    line,
                    (300 + 4000 * mgPerL) * sensitivity,
                    Unit.PER_SECOND,
                    AsShipped.AT,
                    1);
        }
        Run run = new Run("check", method.id(), "plasma", Optional.empty(), AsShipped.AT, readings.build());
        return Reduction.reduce(
                        run,
                        method,
                        (standard, analyte) ->
                                analyte.equals(symbol) ? known.getOrDefault(standard, Double.NaN) : Double.NaN,
                        Trail.OFF)
                .determinations()
                .stream()
                .filter(found ->
                        found.identity().equals("soil") && found.analyte().equals(symbol))
                .findFirst()
                .orElseThrow(() -> new IllegalStateException("no result of " + symbol))
                .amount()
                .raw();
    }

    // The shipped extraction with another portion, extractant, basis and diluent.
    private static double extraction(Given given) {
        Extraction shipped = ((ExtractionMethod) Shipped.method("mehlich3-icp")).extraction();
        double soilG = given.number("soil_g");
        return new Extraction(
                        soilG,
                        given.number("extract_ml"),
                        Basis.valueOf(given.word("basis", "MASS")),
                        SCOOP_ML,
                        soilG,
                        Diluent.valueOf(given.word("diluent", "EXTRACTANT")),
                        shipped.subtractBlank(),
                        shipped.shape(),
                        shipped.weighting(),
                        shipped.acceptance(),
                        shipped.verificationTolerancePct(),
                        shipped.blankShareOfLimit(),
                        shipped.duplicateLimitPct())
                .content(given.number("mg_per_l"), given.number("blank", 0), given.number("dilution", 1));
    }

    // From the two readings of the hydrometer to the shares.
    private static double hydrometer(Given given) {
        Map<String, Double> read = Map.of(
                "soil", given.number("soil"),
                "early", given.number("early"),
                "late", given.number("late"),
                "hours", 8.0,
                "celsius", 20.0,
                "blank_early", given.number("blank"),
                "blank_late", given.number("blank"));
        Map<String, Double> suspended = Map.of(
                "early",
                AsShipped.amount(Shipped.method("texture-hydrometer"), "S40", read)
                        .raw(),
                "late",
                AsShipped.amount(Shipped.method("texture-hydrometer"), "S_late", read)
                        .raw(),
                "moisture",
                given.number("moisture"));
        return AsShipped.amount(given.method(), given.symbol(), suspended).raw();
    }

    // How many whole-percent points of sand and clay have the class.
    private static double pointsOfAClass(Given given) {
        String wanted = given.word("class");
        int points = 0;
        for (int sand = 0; sand <= 100; sand++) {
            for (int clay = 0; sand + clay <= 100; clay++) {
                Amount amount = AsShipped.amount(
                        given.method(),
                        given.symbol(),
                        Map.of("early", 100.0 - sand, "late", (double) clay, "moisture", 0.0));
                if (amount instanceof Amount.Classed classed
                        && (wanted.equals("any") || classed.word().equals(wanted))) {
                    points++;
                }
            }
        }
        return points;
    }
}
