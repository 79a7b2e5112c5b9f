package org.tenmesh.core.shelf;

/** What stands on labels of the shelf, so that one field tells by the scan alone what was scanned. */
public final class Codes {
    private Codes() {}

    /** A place: {@code P-} and up to 20 capitals, digits and hyphens, such as {@code P-A1-03}. */
    public static boolean isPlace(String code) {
        return code.matches("P-[A-Z0-9][A-Z0-9-]{0,19}");
    }

    /** A box: {@code B-} and six digits. */
    public static boolean isBox(String code) {
        return code.matches("B-[0-9]{6}");
    }

    /** The code of the box of this number, 1 to 999999. */
    public static String box(int number) {
        if (number < 1 || number > 999_999) {
            throw new IllegalArgumentException("boxes have numbers 1 to 999999, found " + number);
        }
        return String.format("B-%06d", number);
    }

    /** A discard list: {@code D-} with its date and number, such as {@code D-261130-1}. */
    public static boolean isList(String code) {
        return code.matches("D-[0-9]{6}-[0-9]{1,3}");
    }
}
