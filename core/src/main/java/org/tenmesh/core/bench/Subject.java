package org.tenmesh.core.bench;

import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * What was scanned.
 *
 * @param day name of the laboratory day on which a tray or a soil was laid out; empty text for a rack or a mill, which go round from day to day
 * @param code as it stands on its label
 */
public record Subject(Kind kind, String day, String code) {
    private static final Pattern RACK = Pattern.compile("R-?([0-9]{1,6})");
    private static final Pattern RACK_AS_KEPT = Pattern.compile("R-([0-9]{3}|[1-9][0-9]{3,5})");

    /** A rack has one name, however its label was typed: R17, R-17 and R0017 are R-017. */
    public Subject {
        if (kind == Kind.RACK && !RACK_AS_KEPT.matcher(code).matches()) {
            Matcher typed = RACK.matcher(code);
            if (typed.matches()) {
                code = String.format(Locale.ROOT, "R-%03d", Integer.parseInt(typed.group(1)));
            }
        }
    }

    /** Whether a code is a rack's: R and its number. */
    public static boolean isRack(String code) {
        return RACK.matcher(code).matches();
    }

    /** What carries a label at the bench. */
    public enum Kind {
        TRAY("tray"),
        SOIL("soil"),
        RACK("rack"),
        /** A mill, which has no day either. */
        EQUIPMENT("equipment");

        private final String word;

        Kind(String word) {
            this.word = word;
        }

        /** The word in what is kept. */
        public String word() {
            return word;
        }
    }

    public static Subject tray(String day, String tray) {
        return new Subject(Kind.TRAY, day, tray);
    }

    public static Subject soil(String day, String labNumber) {
        return new Subject(Kind.SOIL, day, labNumber);
    }

    public static Subject rack(String rack) {
        return new Subject(Kind.RACK, "", rack);
    }

    public static Subject equipment(String name) {
        return new Subject(Kind.EQUIPMENT, "", name);
    }
}
