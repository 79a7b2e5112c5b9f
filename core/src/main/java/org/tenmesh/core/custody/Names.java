package org.tenmesh.core.custody;

import java.text.Normalizer;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.stream.Collectors;

/** How names of places are compared. Nothing is decided by a likeness: it only leads to a question. */
final class Names {
    private static final Set<String> SAY_NOTHING = Set.of(
            "", "unknown", "not known", "none", "na", "n a", "various", "several", "mixed", "other", "tbd", "see form");
    private static final Set<String> KIND_OF_PLACE =
            Set.of("county", "co", "parish", "borough", "district", "municipality", "city", "state", "province", "of");

    private Names() {}

    /** Lower case without accents, points and words that say only what kind of place it is: "St. Clair Co." and "saint clair". */
    static String plain(String name) {
        String bare = Normalizer.normalize(name, Normalizer.Form.NFD)
                .replaceAll("\\p{M}", "")
                .toLowerCase(Locale.ROOT)
                .replaceAll("['’.]", "")
                .replaceAll("[^\\p{L}\\p{N}]+", " ")
                .strip();
        List<String> words = Arrays.stream(bare.split(" "))
                .map(word -> word.equals("st") ? "saint" : word.equals("ste") ? "sainte" : word)
                .toList();
        String rest =
                words.stream().filter(word -> !KIND_OF_PLACE.contains(word)).collect(Collectors.joining(" "));
        return rest.isEmpty() ? String.join(" ", words) : rest;
    }

    /** Whether a field was filled in without a place in it. */
    static boolean saysNothing(String written) {
        return SAY_NOTHING.contains(plain(written));
    }

    static boolean same(String one, String other) {
        return plain(one).equals(plain(other));
    }

    /** Whether two different names may be the same place, mistyped: one letter in short names, two in names of eight and more. */
    static boolean near(String one, String other) {
        String a = plain(one);
        String b = plain(other);
        int longer = Math.max(a.length(), b.length());
        // Of two or three letters every abbreviation is one letter from another one.
        if (a.equals(b) || Math.min(a.length(), b.length()) < 4) {
            return false;
        }
        return distance(a, b) <= (longer >= 8 ? 2 : 1)
                || a.replace(" ", "").equals(b.replace(" ", ""))
                || (" " + a + " ").contains(" " + b + " ")
                || (" " + b + " ").contains(" " + a + " ");
    }

    /** Letters put in, left out, exchanged for another, or exchanged with their neighbour. */
    static int distance(String a, String b) {
        int[][] d = new int[a.length() + 1][b.length() + 1];
        for (int i = 0; i <= a.length(); i++) {
            for (int j = 0; j <= b.length(); j++) {
                if (i == 0 || j == 0) {
                    d[i][j] = i + j;
                    continue;
                }
                int cost = a.charAt(i - 1) == b.charAt(j - 1) ? 0 : 1;
                d[i][j] = Math.min(Math.min(d[i - 1][j], d[i][j - 1]) + 1, d[i - 1][j - 1] + cost);
                if (i > 1 && j > 1 && a.charAt(i - 1) == b.charAt(j - 2) && a.charAt(i - 2) == b.charAt(j - 1)) {
                    d[i][j] = Math.min(d[i][j], d[i - 2][j - 2] + 1);
                }
            }
        }
        return d[a.length()][b.length()];
    }
}
