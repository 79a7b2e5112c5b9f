package org.tenmesh.simulator;

import java.util.Arrays;
import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Set;
import java.util.stream.Collectors;
import org.tenmesh.core.judgement.CauseKind;

/**
 * Something to go wrong.
 *
 * @param kind under which cause it must be found
 * @param run where; empty = a usual place for the kind
 * @param position near which position; empty = past the middle of the run
 * @param analytes which analytes; empty = the usual ones for the kind
 * @param size how much; what it means goes with the kind, see {@link #parse}; empty = plainly too much
 */
public record Fault(
        CauseKind kind, Optional<String> run, OptionalInt position, List<String> analytes, OptionalDouble size) {
    public Fault {
        analytes = List.copyOf(analytes);
    }

    /** Kinds that can be planted in the runs of pH, loss on ignition and Mehlich-3; the others need flow analysis or overlapping lines. */
    public static Set<CauseKind> kinds() {
        return EnumSet.of(
                CauseKind.CALIBRATION_REJECTED,
                CauseKind.VERIFICATION_FAILED,
                CauseKind.BLANK_HIGH,
                CauseKind.CONTROL_FAILED,
                CauseKind.DRIFT,
                CauseKind.OVER_RANGE,
                CauseKind.INTERNAL_STANDARD_LOST,
                CauseKind.WEIGHING_IMPOSSIBLE,
                CauseKind.DUPLICATES_DISAGREE,
                CauseKind.REPEATED_FILE,
                CauseKind.TRUNCATED_RUN,
                CauseKind.MISSING_READING);
    }

    /** This kind at its usual place and size. */
    public static Fault of(CauseKind kind) {
        return new Fault(kind, Optional.empty(), OptionalInt.empty(), List.of(), OptionalDouble.empty());
    }

    /**
     * Reads {@code KIND}, {@code KIND@RUN} or {@code KIND@RUN:POSITION}, each with further {@code ,key=value} where the
     * key is {@code run}, {@code position}, {@code analytes} ({@code +} between) or {@code size}. Size is a fraction (0.2
     * = 20 % too high) for signals and contents; pH units for pH; for drift it is the growth from check to check.
     *
     * @throws IllegalArgumentException with what was found and expected
     */
    public static Fault parse(String text) {
        String[] parts = text.split(",", -1);
        String place = parts[0];
        int at = place.indexOf('@');
        String word = at < 0 ? place : place.substring(0, at);
        Map<String, String> settings = new LinkedHashMap<>();
        if (at >= 0) {
            String run = place.substring(at + 1);
            int colon = run.lastIndexOf(':');
            if (colon >= 0) {
                settings.put("position", run.substring(colon + 1));
                run = run.substring(0, colon);
            }
            settings.put("run", run);
        }
        for (String part : Arrays.asList(parts).subList(1, parts.length)) {
            int equals = part.indexOf('=');
            String key = equals < 0 ? part : part.substring(0, equals);
            if (equals < 0 || !List.of("run", "position", "analytes", "size").contains(key)) {
                throw new IllegalArgumentException(
                        "fault \"" + text + "\": found \"" + part + "\", expected run=, position=, analytes= or size=");
            }
            settings.put(key, part.substring(equals + 1));
        }
        CauseKind kind = CauseKind.of(word)
                .orElseThrow(() -> new IllegalArgumentException("fault \"" + text + "\": found kind \"" + word
                        + "\", expected one of "
                        + kinds().stream().map(CauseKind::word).collect(Collectors.joining(", "))));
        try {
            String position = settings.get("position");
            String size = settings.get("size");
            String analytes = settings.get("analytes");
            return new Fault(
                    kind,
                    Optional.ofNullable(settings.get("run")),
                    position == null ? OptionalInt.empty() : OptionalInt.of(Integer.parseInt(position)),
                    analytes == null ? List.of() : List.of(analytes.split("\\+")),
                    size == null ? OptionalDouble.empty() : OptionalDouble.of(Double.parseDouble(size)));
        } catch (NumberFormatException bad) {
            throw new IllegalArgumentException(
                    "fault \"" + text + "\": position must be a whole number and size a number", bad);
        }
    }
}
