package org.tenmesh.core.intake;

/**
 * Check character by ISO/IEC 7064 MOD 37,36: alphabet 0-9 A-Z, one check character from the same alphabet, all single
 * wrong characters and nearly all exchanged neighbours found.
 *
 * <p>Rule as in the open library konfirm/node-iso7064; its published vectors are in the tests.
 */
public final class CheckCharacter {
    private static final String ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";

    private CheckCharacter() {}

    /**
     * The check character of a body.
     *
     * @param body one or more of 0-9 A-Z; hyphens are skipped
     * @throws IllegalArgumentException if another character is found or nothing is left
     */
    public static char of(String body) {
        return ALPHABET.charAt(Math.floorMod(37 - product(body), 36));
    }

    /** Whether the last character is the right check character of all before it; false for malformed text. */
    public static boolean holds(String whole) {
        if (whole.length() < 2) {
            return false;
        }
        int last = ALPHABET.indexOf(whole.charAt(whole.length() - 1));
        try {
            return last >= 0 && (product(whole.substring(0, whole.length() - 1)) + last) % 36 == 1;
        } catch (IllegalArgumentException malformed) {
            return false;
        }
    }

    private static int product(String body) {
        int p = 36;
        boolean any = false;
        for (int i = 0; i < body.length(); i++) {
            char c = body.charAt(i);
            if (c == '-') {
                continue;
            }
            int a = ALPHABET.indexOf(c);
            if (a < 0) {
                throw new IllegalArgumentException(
                        "character '" + c + "' at place " + (i + 1) + " of \"" + body + "\" is not one of 0-9 A-Z");
            }
            any = true;
            p = (p + a) % 36;
            if (p == 0) {
                p = 36;
            }
            p = (2 * p) % 37;
        }
        if (!any) {
            throw new IllegalArgumentException("nothing to check in \"" + body + "\"");
        }
        return p;
    }
}
