package org.tenmesh.app.check;

import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.derived.Deriving;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.ConductivityMethod;
import org.tenmesh.core.methods.Constant;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.Example;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.Extraction.Basis;
import org.tenmesh.core.methods.ExtractionMethod;
import org.tenmesh.core.methods.FormulaMethod;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.Source;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Reduction;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.reduction.Trail;

/** What a shipped method makes of numbers, and what it is set to. */
final class AsShipped {
    static final OffsetDateTime AT = OffsetDateTime.of(2026, 11, 25, 8, 0, 0, 0, ZoneOffset.UTC);
    private static final Source NONE = new Source("a check", Source.Standing.READ);
    private static final Set<String> NO_INPUTS = Set.of("less");
    private static final String CONSTANT = "constant ";
    private static final String LIMIT_OVER = "limit_over_";

    private AsShipped() {}

    /** The result of the method and symbol of a row; {@code @name=number} sets a constant of the method. */
    static Amount amount(Given given) {
        Method method = given.method();
        for (Map.Entry<String, String> one : given.values().entrySet()) {
            if (one.getKey().startsWith("@")) {
                method = with(method, one.getKey().substring(1), Double.parseDouble(one.getValue()));
            }
        }
        return amount(method, given.symbol(), numbers(given));
    }

    /** The numbers of a row that are inputs of a method. */
    static Map<String, Double> numbers(Given given) {
        Map<String, Double> numbers = new HashMap<>();
        given.values().forEach((name, value) -> {
            if (!name.startsWith("@") && !NO_INPUTS.contains(name)) {
                numbers.put(name, Double.valueOf(value));
            }
        });
        return numbers;
    }

    static Amount amount(Method method, String symbol, Map<String, Double> numbers) {
        if (method instanceof IgnitionMethod) {
            return weighed(method, symbol, numbers);
        }
        Example example = new Example(numbers, Map.of(symbol, ""), NONE);
        Map<String, Amount> amounts = method instanceof DerivedMethod derived
                ? Deriving.of(derived, example)
                : Reduction.worked(method, example);
        Amount amount = amounts.get(symbol);
        if (amount == null) {
            throw new IllegalStateException(method.id() + " gives no " + symbol);
        }
        return amount;
    }

    // Three weighings through the whole reduction.
    private static Amount weighed(Method method, String symbol, Map<String, Double> numbers) {
        Readings.Builder readings = Readings.builder();
        for (String mass : List.of("tare", "dry", "ash")) {
            double massG = Objects.requireNonNull(numbers.get(mass), mass);
            readings.add(1, Role.SAMPLE, "soil", "1", mass, massG, Unit.GRAM, AT, 1);
        }
        Run run = new Run("check", method.id(), "balance", Optional.empty(), AT, readings.build());
        return Reduction.reduce(run, method, (standard, analyte) -> Double.NaN, Trail.OFF).determinations().stream()
                .filter(determination -> determination.analyte().equals(symbol))
                .findFirst()
                .orElseThrow()
                .amount();
    }

    // The method as a laboratory would set it for another field or crop.
    private static Method with(Method method, String constant, double value) {
        if (method instanceof DerivedMethod derived) {
            return new DerivedMethod(
                    derived.head(),
                    derived.inputs(),
                    with(derived.constants(), constant, value),
                    derived.tables(),
                    derived.results(),
                    derived.advice());
        }
        FormulaMethod formula = (FormulaMethod) method;
        return new FormulaMethod(
                formula.head(),
                formula.quantities(),
                with(formula.constants(), constant, value),
                formula.results(),
                formula.duplicateLimitPct(),
                formula.duplicateFloor());
    }

    private static List<Constant> with(List<Constant> constants, String name, double value) {
        List<Constant> changed = new ArrayList<>();
        boolean found = false;
        for (Constant constant : constants) {
            boolean it = constant.name().equals(name);
            found |= it;
            changed.add(it ? new Constant(name, value, constant.unit(), constant.source()) : constant);
        }
        if (!found) {
            throw new IllegalStateException("no constant is named " + name);
        }
        return changed;
    }

    /** The preferred line of an element, as the method names it. */
    static String line(ExtractionMethod method, String element) {
        return method.lines().stream()
                .filter(line -> line.preferred() && line.element().equals(element))
                .findFirst()
                .orElseThrow(() -> new IllegalStateException("the shipped method has no line of " + element))
                .quantity();
    }

    /** A setting: text for a line, otherwise a number. */
    static Object setting(Given given) {
        Method method = given.method();
        String key = given.word("setting");
        if (key.startsWith(CONSTANT)) {
            return constant(method, key.substring(CONSTANT.length()));
        }
        if (key.startsWith(LIMIT_OVER)) {
            return limit(given) / Double.parseDouble(key.substring(LIMIT_OVER.length()));
        }
        return switch (key) {
            case "line" -> line((ExtractionMethod) method, given.symbol());
            case "reporting_limit" -> limit(given);
            case "two_sd" -> 2 * analyte(given).withinRsdPct();
            case "decimals" -> (double) analyte(given).rounding().decimals();
            case "portion_g" -> method.head().portion().orElseThrow().soilG();
            case "ml_per_g" -> mlPerG(method);
            case "offset_mv" -> ((ElectrodeMethod) method).offsetLimitMv();
            case "verification_ph" -> ((ElectrodeMethod) method).verificationTolerancePh();
            case "lowest_ph" -> ((ElectrodeMethod) method).lowestPh();
            case "verification_pct" -> extraction(method).verificationTolerancePct();
            case "blank_share" -> extraction(method).blankShareOfLimit();
            case "duplicate_pct" -> extraction(method).duplicateLimitPct();
            case "least_r" -> extraction(method).acceptance().leastR();
            case "rse_pct" -> extraction(method).acceptance().mostRsePct();
            case "low_readback_pct" -> extraction(method).acceptance().lowReadbackPct();
            case "readback_pct" -> extraction(method).acceptance().readbackPct();
            default -> throw new IllegalArgumentException("no setting is called " + key);
        };
    }

    private static Extraction extraction(Method method) {
        return ((ExtractionMethod) method).extraction();
    }

    private static double constant(Method method, String name) {
        List<Constant> constants =
                method instanceof DerivedMethod derived ? derived.constants() : ((FormulaMethod) method).constants();
        return constants.stream()
                .filter(constant -> constant.name().equals(name))
                .findFirst()
                .orElseThrow()
                .value();
    }

    private static double mlPerG(Method method) {
        if (method instanceof ExtractionMethod extraction) {
            Extraction of = extraction.extraction();
            return of.extractMl() / (of.basis() == Basis.VOLUME ? of.scoopMl() : of.soilG());
        }
        if (method instanceof ConductivityMethod conductivity) {
            return conductivity.liquidMl() / conductivity.soilG();
        }
        ElectrodeMethod electrode = (ElectrodeMethod) method;
        return electrode.liquidMl() / electrode.soilG();
    }

    private static double limit(Given given) {
        return analyte(given).reportingLimit().orElseThrow();
    }

    private static Analyte analyte(Given given) {
        return given.method().analyte(given.symbol()).orElseThrow();
    }
}
