package org.tenmesh.exchange.file;

import java.util.Collection;
import java.util.Locale;
import java.util.Optional;

/** Which known name a written one may be a slip of. */
public final class Spelling {
    private Spelling() {}

    /**
     * The known name that was most likely meant: equal but for case, blanks, hyphens and underscores, or one wrong, missing, added or
     * exchanged letter away (two where the known name has eight letters or more). Empty when there is none, or when the written name
     * is itself known.
     */
    public static Optional<String> closest(String written, Collection<String> known) {
        if (known.contains(written)) {
            return Optional.empty();
        }
        String plain = plain(written);
        Optional<String> closest = Optional.empty();
        int least = Integer.MAX_VALUE;
        for (String name : known) {
            String own = plain(name);
            int away = distance(plain, own);
            if (away <= (own.length() < 4 ? 0 : own.length() < 8 ? 1 : 2) && away < least) {
                least = away;
                closest = Optional.of(name);
            }
        }
        return closest;
    }

    /** The known name that begins most like what was written, for messages where there are too many to list; empty text of none. */
    public static String nearest(String written, Collection<String> known) {
        String nearest = "";
        int most = -1;
        for (String name : known) {
            int alike = 0;
            while (alike < Math.min(name.length(), written.length()) && name.charAt(alike) == written.charAt(alike)) {
                alike++;
            }
            if (alike > most) {
                most = alike;
                nearest = name;
            }
        }
        return nearest;
    }

    private static String plain(String name) {
        return name.replaceAll("[\\s_-]+", "").toLowerCase(Locale.ROOT);
    }

    // Optimal string alignment: letters changed, added, left out, or two neighbours exchanged.
    private static int distance(String a, String b) {
        int[][] d = new int[a.length() + 1][b.length() + 1];
        for (int i = 0; i <= a.length(); i++) {
            for (int j = 0; j <= b.length(); j++) {
                if (i == 0 || j == 0) {
                    d[i][j] = i + j;
                    continue;
                }
                int changed = a.charAt(i - 1) == b.charAt(j - 1) ? 0 : 1;
                d[i][j] = Math.min(Math.min(d[i - 1][j], d[i][j - 1]) + 1, d[i - 1][j - 1] + changed);
                if (i > 1 && j > 1 && a.charAt(i - 1) == b.charAt(j - 2) && a.charAt(i - 2) == b.charAt(j - 1)) {
                    d[i][j] = Math.min(d[i][j], d[i - 2][j - 2] + 1);
                }
            }
        }
        return d[a.length()][b.length()];
    }
}
