package org.tenmesh.core.reduction;

import java.util.HashMap;
import java.util.Map;
import org.tenmesh.core.calibration.ProbeCalibration;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.ConductivityMethod;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.Example;
import org.tenmesh.core.methods.ExtractionMethod;
import org.tenmesh.core.methods.FormulaMethod;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Amount;

/** Runs a method's worked example through the same arithmetic as readings. */
public final class WorkedExample {
    private WorkedExample() {}

    /**
     * What the method makes of the example's numbers.
     *
     * @return by analyte, those that the example expects
     * @throws IllegalArgumentException when a number that the method needs is not given, or the method has no readings
     */
    public static Map<String, Amount> of(Method method, Example example) {
        Map<String, Double> given = example.given();
        if (method instanceof FormulaMethod formula) {
            return FormulaReduction.calculate(formula, given);
        }
        Map<String, Amount> amounts = new HashMap<>();
        for (String symbol : example.expected().keySet()) {
            Analyte analyte = method.analyte(symbol)
                    .orElseThrow(() -> new IllegalArgumentException("method " + method.id() + " reports no " + symbol));
            double dilution = given.getOrDefault("dilution", 1.0);
            amounts.put(symbol, Limits.amount(value(method, symbol, given), analyte, dilution));
        }
        return amounts;
    }

    private static double value(Method method, String symbol, Map<String, Double> given) {
        if (method instanceof ExtractionMethod extraction) {
            return extraction
                    .extraction()
                    .content(
                            needed(given, "extract_mg_per_l"),
                            given.getOrDefault("blank_mg_per_l", 0.0),
                            given.getOrDefault("dilution", 1.0));
        }
        if (method instanceof ElectrodeMethod) {
            double celsius = needed(given, "temperature");
            return new ProbeCalibration(
                            needed(given, "slope_mv_per_ph"),
                            needed(given, "offset_mv"),
                            given.getOrDefault("calibration_temperature", celsius),
                            2)
                    .phAt(needed(given, "potential"), celsius);
        }
        if (method instanceof ConductivityMethod conductivity) {
            return needed(given, "conductance")
                    * ConductivityReduction.toTwentyFive(conductivity, needed(given, "temperature"))
                    * given.getOrDefault("cell_factor", 1.0)
                    * given.getOrDefault("dilution", 1.0);
        }
        if (method instanceof IgnitionMethod ignition) {
            double loiPct =
                    IgnitionReduction.lossPct(needed(given, "tare"), needed(given, "dry"), needed(given, "ash"));
            return symbol.equals("LOI") ? loiPct : ignition.organicMatter().organicMatterPct(loiPct);
        }
        throw new IllegalArgumentException(method.id() + " is calculated from other results and has no readings");
    }

    private static double needed(Map<String, Double> given, String name) {
        Double value = given.get(name);
        if (value == null) {
            throw new IllegalArgumentException("the example gives no " + name + "; it gives " + given.keySet());
        }
        return value;
    }
}
