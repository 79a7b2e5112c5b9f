package org.tenmesh.simulator.faults;

import java.util.Arrays;
import java.util.Collections;
import java.util.EnumMap;
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
 * @param position near which position; empty = a usual place that no earlier fault of the kind has taken
 * @param analytes which analytes; empty = the usual ones for the kind
 * @param size how much; what it means goes with the kind, see {@link #parse}; empty = plainly too much
 * @param further what only some kinds take, by the keys of {@link #parse}: {@code method}, {@code channel}, {@code fields}, {@code second},
 *     {@code weighing}, {@code open}, {@code material}, {@code length}, {@code total}, {@code from}
 */
public record Fault(
        CauseKind kind,
        Optional<String> run,
        OptionalInt position,
        List<String> analytes,
        OptionalDouble size,
        Map<String, String> further) {
    private static final Map<CauseKind, List<String>> KEYS = keys();
    private static final Map<String, List<String>> WORDS = Map.of(
            "fields", List.of("same", "different", "any"),
            "second", List.of("yes", "no"),
            "weighing", List.of("dry", "ash"),
            "open", List.of("yes", "no"));

    /**
     * @throws IllegalArgumentException when the kind takes no such key, or the key no such value
     */
    public Fault {
        analytes = List.copyOf(analytes);
        further = Collections.unmodifiableMap(new LinkedHashMap<>(further));
        List<String> keys = KEYS.getOrDefault(kind, List.of());
        refuse(kind, keys, "position", position.isPresent());
        refuse(kind, keys, "analytes", !analytes.isEmpty());
        refuse(kind, keys, "size", size.isPresent());
        further.keySet().forEach(key -> refuse(kind, keys, key, true));
        further.forEach((key, value) -> check(kind, key, value));
    }

    /** With nothing that only some kinds take. */
    public Fault(
            CauseKind kind, Optional<String> run, OptionalInt position, List<String> analytes, OptionalDouble size) {
        this(kind, run, position, analytes, size, Map.of());
    }

    private static void refuse(CauseKind kind, List<String> keys, String key, boolean given) {
        if (given && !keys.contains(key)) {
            throw new IllegalArgumentException("fault " + kind.word() + ": found key \"" + key
                    + "\", expected one of run, " + String.join(", ", keys));
        }
    }

    private static void check(CauseKind kind, String key, String value) {
        List<String> words = WORDS.get(key);
        String expected = words != null
                ? String.join(" or ", words)
                : switch (key) {
                    case "channel" -> "1 to 4";
                    case "length" -> "a whole number of 1 or more";
                    case "total" -> "a number";
                    default -> "";
                };
        boolean good = words != null
                ? words.contains(value)
                : switch (key) {
                    case "channel" -> value.matches("[1-4]");
                    case "length" -> value.matches("[1-9]\\d{0,5}");
                    case "total" -> value.matches("-?\\d*\\.?\\d+");
                    default -> !value.isBlank();
                };
        if (!good) {
            throw new IllegalArgumentException(
                    "fault " + kind.word() + ": found " + key + " \"" + value + "\", expected " + expected);
        }
    }

    /** The kinds that a model plants, each with the keys it takes. */
    private static Map<CauseKind, List<String>> keys() {
        Map<CauseKind, List<String>> keys = new EnumMap<>(CauseKind.class);
        for (CauseKind kind : CauseKind.values()) {
            List<String> its = switch (kind) {
                case DRIFT -> List.of("method", "position", "analytes", "size", "channel", "total");
                case CALIBRATION_REJECTED, VERIFICATION_FAILED, CONTROL_FAILED ->
                    List.of("method", "position", "analytes", "size", "channel");
                case TRAY_TURNED -> List.of("method", "position");
                case TRAYS_EXCHANGED, IMPLAUSIBLE_TOGETHER, PORTION_WRONG -> List.of("method", "position", "size");
                case RUN_SHIFTED -> List.of("method", "position", "size", "length");
                case NEIGHBOURS_EXCHANGED -> List.of("method", "position", "fields");
                case DILUTION_MISMATCH -> List.of("method", "position", "size", "second");
                case CHANNEL_BIAS -> List.of("method", "position", "size", "channel", "weighing");
                case CONTROL_MATERIAL_MISTAKEN -> List.of("method", "position", "open", "material");
                case CONTROL_TREND -> List.of("method", "analytes", "size");
                case INTERFERENCE -> List.of("method", "analytes", "size", "from");
                case NOT_DRY -> List.of("method", "position", "size", "length");
                case BLANK_HIGH,
                        STANDARD_WRONG,
                        CARRY_OVER,
                        OVER_RANGE,
                        INTERNAL_STANDARD_LOST,
                        WEIGHING_IMPOSSIBLE,
                        DUPLICATES_DISAGREE,
                        REPEATED_FILE,
                        TRUNCATED_RUN,
                        MISSING_READING -> List.of("method", "position", "analytes", "size");
                default -> List.of();
            };
            if (!its.isEmpty()) {
                keys.put(kind, its);
            }
        }
        return keys;
    }

    /**
     * Kinds that can be planted. Others are made by changing a file (command {@code mutate}), as a reading that cannot be, or are no fault
     * of the laboratory, as a question that the program cannot finish.
     */
    public static Set<CauseKind> kinds() {
        return Collections.unmodifiableSet(KEYS.keySet());
    }

    /** This kind at its usual place and size. */
    public static Fault of(CauseKind kind) {
        return new Fault(kind, Optional.empty(), OptionalInt.empty(), List.of(), OptionalDouble.empty());
    }

    /** What was given under a key that only some kinds take. */
    public Optional<String> key(String key) {
        return Optional.ofNullable(further.get(key));
    }

    /** The probe or balance asked for, 1 to 4. */
    public OptionalInt channel() {
        return key("channel")
                .map(text -> OptionalInt.of(Integer.parseInt(text)))
                .orElse(OptionalInt.empty());
    }

    /** Growth over the whole run, for a drift that no check need see. */
    public OptionalDouble total() {
        return key("total")
                .map(text -> OptionalDouble.of(Double.parseDouble(text)))
                .orElse(OptionalDouble.empty());
    }

    /** How many positions in a row it takes. */
    public OptionalInt length() {
        return key("length").map(text -> OptionalInt.of(Integer.parseInt(text))).orElse(OptionalInt.empty());
    }

    /** The fault at a run. */
    Fault in(String where) {
        return new Fault(kind, Optional.of(where), position, analytes, size, further);
    }

    /**
     * Reads {@code KIND}, {@code KIND@RUN} or {@code KIND@RUN:POSITION}, each with further {@code ,key=value} where the
     * key is {@code run}, {@code position}, {@code analytes} ({@code +} between), {@code size} or one of those of {@link #further}. Size is a
     * fraction (0.2 = 20 % too high) for signals and contents; pH units for pH; for drift it is the growth from check to check. What it is for
     * each kind, and which keys a kind takes, stands in {@code docs/simulator.md}.
     *
     * @throws IllegalArgumentException with what was found and expected
     */
    public static Fault parse(String text) {
        String[] parts = text.split(",", -1);
        String place = parts[0];
        int at = place.indexOf('@');
        String word = at < 0 ? place : place.substring(0, at);
        CauseKind kind = CauseKind.of(word)
                .filter(kinds()::contains)
                .orElseThrow(() -> new IllegalArgumentException("fault \"" + text + "\": found kind \"" + word
                        + "\", expected one of "
                        + kinds().stream().map(CauseKind::word).collect(Collectors.joining(", "))));
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
        List<String> keys = KEYS.getOrDefault(kind, List.of());
        for (String part : Arrays.asList(parts).subList(1, parts.length)) {
            int equals = part.indexOf('=');
            String key = equals < 0 ? part : part.substring(0, equals);
            if (equals < 0 || !key.equals("run") && !keys.contains(key)) {
                throw new IllegalArgumentException("fault \"" + text + "\": found \"" + part + "\", expected run=, "
                        + String.join("=, ", keys) + "=");
            }
            settings.put(key, part.substring(equals + 1));
        }
        try {
            String run = settings.remove("run");
            String position = settings.remove("position");
            String size = settings.remove("size");
            String analytes = settings.remove("analytes");
            return new Fault(
                    kind,
                    Optional.ofNullable(run),
                    position == null ? OptionalInt.empty() : OptionalInt.of(Integer.parseInt(position)),
                    analytes == null ? List.of() : List.of(analytes.split("\\+")),
                    size == null ? OptionalDouble.empty() : OptionalDouble.of(Double.parseDouble(size)),
                    settings);
        } catch (NumberFormatException bad) {
            throw new IllegalArgumentException(
                    "fault \"" + text + "\": position must be a whole number and size a number", bad);
        }
    }
}
