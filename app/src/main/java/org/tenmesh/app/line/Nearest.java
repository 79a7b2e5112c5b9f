package org.tenmesh.app.line;

import java.util.Collection;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.tenmesh.exchange.file.Spelling;

/** What a word that is not known was likely meant to be. */
public final class Nearest {
    private static final int MOST_NAMED = 5;

    /** Fewer letters begin too many words. */
    private static final int LEAST_ALIKE = 3;

    private Nearest() {}

    /** Known words that may be meant, the likeliest first, five at most: slips of one or two letters, else words that begin alike, else such that hold the typed one. */
    public static List<String> to(String typed, Collection<String> known) {
        Optional<String> slip = Spelling.closest(typed, known);
        if (slip.isPresent()) {
            return List.of(slip.get());
        }
        String plain = plain(typed);
        if (plain.isEmpty()) {
            return List.of();
        }
        List<String> alike = known.stream()
                .filter(word -> plain(word).startsWith(plain)
                        || plain(word).length() >= LEAST_ALIKE && plain.startsWith(plain(word)))
                .limit(MOST_NAMED)
                .toList();
        return !alike.isEmpty() || plain.length() < LEAST_ALIKE
                ? alike
                : known.stream()
                        .filter(word -> plain(word).contains(plain))
                        .limit(MOST_NAMED)
                        .toList();
    }

    /** "; perhaps judge was meant", or empty text. */
    public static String perhaps(String typed, Collection<String> known) {
        List<String> near = to(typed, known);
        return near.isEmpty() ? "" : "; perhaps " + String.join(" or ", near) + " was meant";
    }

    private static String plain(String word) {
        return word.replaceAll("[\\s_-]+", "").toLowerCase(Locale.ROOT);
    }
}
