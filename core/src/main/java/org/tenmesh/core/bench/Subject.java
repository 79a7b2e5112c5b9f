package org.tenmesh.core.bench;

/**
 * What was scanned.
 *
 * @param day name of the laboratory day on which a tray or a soil was laid out; empty text for a rack or a mill, which go round from day to day
 * @param code as it stands on its label
 */
public record Subject(Kind kind, String day, String code) {
    /** A rack has one name, however its label was typed: R17, R-17 and R0017 are R-017. */
    public Subject {
        if (kind == Kind.RACK && isRack(code)) {
            code = String.format("R-%03d", Integer.parseInt(code.replaceAll("[^0-9]", "")));
        }
    }

    /** Whether a code is a rack's: R and its number. */
    public static boolean isRack(String code) {
        return code.matches("R-?[0-9]{1,6}");
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
