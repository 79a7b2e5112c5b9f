package org.tenmesh.core.custody;

import java.text.Normalizer;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.stream.Collectors;
import org.tenmesh.core.spelling.Distance;

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

    /** Where in a list of written places one of these names stands; -1 where none does. */
    static int index(List<String> written, List<String> names) {
        for (int i = 0; i < written.size(); i++) {
            String place = written.get(i);
            if (names.stream().anyMatch(name -> same(place, name))) {
                return i;
            }
        }
        return -1;
    }

    /** Whether both a region and its county stand there, each in a place of its own: "New York" alone is the state and not its county. */
    static boolean bothIn(List<String> written, List<String> region, List<String> county) {
        for (int i = 0; i < written.size(); i++) {
            List<String> rest = new ArrayList<>(written);
            if (index(List.of(rest.remove(i)), region) >= 0 && index(rest, county) >= 0) {
                return true;
            }
        }
        return false;
    }

    /**
     * Whether two different names may be the same place: mistyped, by one letter in short names and two in names of eight and more, or one among
     * further words, as in "Lee County AL".
     */
    static boolean near(String one, String other) {
        String a = plain(one);
        String b = plain(other);
        int longer = Math.max(a.length(), b.length());
        if (a.equals(b)) {
            return false;
        }
        if (among(a, b) || among(b, a)) {
            return true;
        }
        // Of two or three letters every abbreviation is one letter from another one.
        return Math.min(a.length(), b.length()) >= 4
                && (Distance.between(a, b) <= (longer >= 8 ? 2 : 1)
                        || a.replace(" ", "").equals(b.replace(" ", "")));
    }

    /** Whether a name stands among the words of a longer one; one of two letters, as an abbreviation does, at its end or before a postal code. */
    private static boolean among(String words, String name) {
        return switch (name.length()) {
            case 0, 1 -> false;
            case 2 -> words.replaceAll("( [0-9]+)+$", "").endsWith(" " + name);
            default -> (" " + words + " ").contains(" " + name + " ");
        };
    }
}
