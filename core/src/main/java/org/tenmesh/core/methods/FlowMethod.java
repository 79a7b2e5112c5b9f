package org.tenmesh.core.methods;

import static org.tenmesh.core.methods.MethodDescription.Text.number;

import java.util.EnumSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.tenmesh.core.quantity.Unit;

/**
 * A calibrated extraction read by flow analysis; peaks in absorbance. The quantity is {@code peak} where the method has one analyte,
 * {@code peak SYMBOL} where it has several.
 *
 * <p>Baseline: positions of role {@code wash} read the carrier alone; between two of them the baseline runs straight and is taken off.
 * Carry-over: see {@code carryOver}.
 *
 * @param baselineDriftLimit largest change of the baseline between two wash positions, absorbance
 * @param carryOver how much of one peak may show in the next
 * @param saturation absorbance at which the detector ends
 */
public record FlowMethod(
        Head head,
        Extraction extraction,
        List<Extraction.Line> lines,
        double baselineDriftLimit,
        CarryOver carryOver,
        OptionalDouble saturation)
        implements ExtractionMethod {
    public FlowMethod {
        lines = List.copyOf(lines);
    }

    /**
     * Two known solutions, read as low, high, low before the first soil, tell what share of a peak shows in the next one:
     * {@code 100 (low after - low before) / high} (common practice).
     *
     * @param low name of the low one, a verification in the readings
     * @param high name of the high one
     * @param limitPct largest share accepted, % of the peak before
     * @param matterPct a soil is touched when what was carried over exceeds this share of its own result, %
     */
    public record CarryOver(String low, String high, double limitPct, double matterPct) {}

    @Override
    public Unit unitOfSignals() {
        return Unit.ABSORBANCE;
    }

    @Override
    public Optional<StandardCurve> standardCurve() {
        return Optional.of(new StandardCurve(
                extraction.shape(), extraction.weighting(), StandardCurve.Scatter.SHARE_AND_CONSTANT, "mg/L"));
    }

    @Override
    public Set<String> carryOverSolutions() {
        Set<String> solutions = new LinkedHashSet<>();
        solutions.add(carryOver.low());
        solutions.add(carryOver.high());
        return solutions;
    }

    @Override
    public Set<Gate> requiredGates() {
        return EnumSet.allOf(Gate.class);
    }

    @Override
    public String kind() {
        return "flow";
    }

    @Override
    public MethodDescription description() {
        return described("Extracts read by flow analysis", "Extract read by flow analysis.")
                .setting(
                        "Baseline",
                        "runs straight between two washes and is taken off; at most " + number(baselineDriftLimit)
                                + " absorbance of change between them")
                .setting(
                        "Carry-over",
                        carryOver.low() + ", " + carryOver.high() + ", " + carryOver.low()
                                + " before the first soil; at most " + number(carryOver.limitPct())
                                + " % of the peak before")
                .done();
    }
}
