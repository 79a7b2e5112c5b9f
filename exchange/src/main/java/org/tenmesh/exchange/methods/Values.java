package org.tenmesh.exchange.methods;

import java.util.LinkedHashMap;
import java.util.Locale;
import java.util.Map;
import org.tenmesh.core.methods.Source;
import org.tenmesh.exchange.file.DecimalText;
import org.tenmesh.exchange.yaml.Section;

/** Values that the files of several kinds hold alike. */
final class Values {
    private static final Map<String, Source.Standing> STANDINGS =
            words(Source.Standing.values(), Source.Standing::word);

    private Values() {}

    /** Where something was read, with how far that was checked. */
    static Source source(Section section) {
        Source source = new Source(section.text("text"), section.choice("standing", STANDINGS));
        section.nothingElse();
        return source;
    }

    /** A number above 0; a problem otherwise. */
    static double positive(Section section, String key) {
        double value = section.number(key);
        if (value <= 0) {
            section.wrong(key, DecimalText.of(value), "a number above 0");
        }
        return value;
    }

    /** Values by the word that stands for each in files. */
    static <T> Map<String, T> words(T[] values, java.util.function.Function<T, String> word) {
        Map<String, T> words = new LinkedHashMap<>();
        for (T value : values) {
            words.put(word.apply(value), value);
        }
        return words;
    }

    /** Constants by their name in lower case. */
    static <T extends Enum<T>> Map<String, T> lower(T[] values) {
        return words(values, value -> value.name().toLowerCase(Locale.ROOT));
    }
}
