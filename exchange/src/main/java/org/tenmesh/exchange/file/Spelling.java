package org.tenmesh.exchange.file;

import java.util.Collection;
import java.util.Locale;
import java.util.Optional;
import org.tenmesh.core.spelling.Distance;

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
            int away = Distance.between(plain, own);
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
}
