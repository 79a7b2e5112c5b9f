package org.tenmesh.core.causes;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.tenmesh.core.charts.LowReading;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Flaw;
import org.tenmesh.core.reduction.Reduced;
import org.tenmesh.core.reduction.Reduced.CalibrationOutcome;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/** Blanks and low check solutions of one run, as contents of soil. */
final class LowReadings {
    private LowReadings() {}

    /** Of every element whose calibration was accepted; none where a method extracts nothing or nothing was read. */
    static List<LowReading> of(Reduced reduced, Policy policy) {
        Optional<Extraction> extraction = reduced.method().extract();
        if (extraction.isEmpty()) {
            return List.of();
        }
        Set<String> rejected = new HashSet<>();
        for (CalibrationOutcome outcome : reduced.calibrations()) {
            if (!outcome.accepted()) {
                rejected.add(outcome.analyte());
            }
        }
        Run run = reduced.run();
        List<LowReading> low = new ArrayList<>();
        for (Determination d : reduced.determinations()) {
            boolean blank = d.role() == Role.BLANK;
            if ((!blank && d.role() != Role.VERIFICATION)
                    || d.flaw() != Flaw.NONE
                    || d.dilution() != 1
                    || rejected.contains(d.analyte())
                    || !Double.isFinite(d.amount().raw())) {
                continue;
            }
            double most = policy.number(Setting.DETECTION_CHECK_MOST_LIMITS)
                    * reduced.method()
                            .analyte(d.analyte())
                            .map(Analyte::reportingLimit)
                            .orElse(OptionalDouble.empty())
                            .orElse(0);
            double known = blank ? Double.NaN : extraction.get().content(d.known(), 0, 1);
            if (blank || (known > 0 && known <= most && !isForCarryOver(reduced, d))) {
                low.add(new LowReading(
                        run.method(),
                        d.analyte(),
                        run.instrument(),
                        run.startedAt().toLocalDate(),
                        run.run(),
                        d.position(),
                        blank ? OptionalDouble.empty() : OptionalDouble.of(known),
                        extraction.get().content(d.amount().raw(), 0, 1)));
            }
        }
        return low;
    }

    // Solutions that are read to see what the one before leaves behind hold some of it.
    private static boolean isForCarryOver(Reduced reduced, Determination d) {
        return reduced.method().carryOverSolutions().contains(d.identity());
    }
}
