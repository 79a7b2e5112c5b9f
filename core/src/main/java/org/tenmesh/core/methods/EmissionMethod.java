package org.tenmesh.core.methods;

import static org.tenmesh.core.methods.MethodDescription.Text.number;

import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.tenmesh.core.quantity.Unit;

/**
 * A calibrated extraction read by plasma emission; signals in counts per second.
 *
 * @param internalStandard the line of the internal standard, as written in readings; empty when there is none
 * @param internalStandardMinPct least signal of the internal standard, % of its mean over the calibration
 * @param internalStandardMaxPct largest signal, %
 * @param overlaps what other elements add to a line
 * @param saturation counts per second at which the detector ends
 */
public record EmissionMethod(
        Head head,
        Extraction extraction,
        List<Extraction.Line> lines,
        Optional<String> internalStandard,
        double internalStandardMinPct,
        double internalStandardMaxPct,
        List<Overlap> overlaps,
        OptionalDouble saturation)
        implements ExtractionMethod {
    public EmissionMethod {
        lines = List.copyOf(lines);
        overlaps = List.copyOf(overlaps);
    }

    /**
     * What an interfering element adds to a line: {@code c = c_apparent - share x c_interferent}. The share belongs to one instrument;
     * a laboratory measures its own.
     *
     * @param quantity the line it falls on, as written in readings
     * @param interferent symbol of the element that adds
     * @param share apparent mg/L of the line's element for each mg/L of the interferent
     */
    public record Overlap(String quantity, String interferent, double share) {}

    @Override
    public Unit unitOfSignals() {
        return Unit.PER_SECOND;
    }

    @Override
    public boolean readsEmissionLines() {
        return true;
    }

    /** Of the internal standard the element alone may be stated, although it is not reported. */
    @Override
    public boolean mayBeStated(String symbol) {
        return analyte(symbol).isPresent()
                || internalStandard
                        .filter(line -> line.startsWith(symbol + " "))
                        .isPresent();
    }

    @Override
    public Optional<StandardCurve> standardCurve() {
        return Optional.of(new StandardCurve(
                extraction.shape(), extraction.weighting(), StandardCurve.Scatter.SHARE_AND_COUNTING, "mg/L"));
    }

    @Override
    public Set<Gate> requiredGates() {
        return EnumSet.of(Gate.CALIBRATION, Gate.KNOWN_SOLUTIONS, Gate.BLANK, Gate.OWN_CONTROL);
    }

    @Override
    public String kind() {
        return "emission";
    }

    @Override
    public MethodDescription description() {
        MethodDescription.Text text = described("Extracts read by plasma emission", "Extract read by plasma emission.");
        internalStandard.ifPresent(line -> text.setting(
                "Internal standard",
                line + ", " + number(internalStandardMinPct) + " to " + number(internalStandardMaxPct)
                        + " % of its mean over the calibration"));
        if (!overlaps.isEmpty()) {
            text.note(
                    "What other elements add to a line is taken off; the share belongs to one instrument and is measured on it.");
        }
        overlaps.forEach(overlap -> text.setting(
                "Taken off " + overlap.quantity(),
                number(overlap.share()) + " mg/L for each mg/L of " + overlap.interferent()));
        return text.done();
    }
}
