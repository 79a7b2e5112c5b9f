package org.tenmesh.capture.runs;

import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** Names of runs made of what is known of a piece. */
final class RunNames {
    private static final Pattern PLACE = Pattern.compile("\\{([^{}]+)}");
    private static final int LONGEST = 80;

    private RunNames() {}

    /** The template with the words put in; characters that no file name takes become hyphens. */
    static String fill(String template, Map<String, String> words) {
        Matcher place = PLACE.matcher(template);
        StringBuilder name = new StringBuilder();
        while (place.find()) {
            place.appendReplacement(name, Matcher.quoteReplacement(words.getOrDefault(place.group(1), "")));
        }
        place.appendTail(name);
        String plain =
                name.toString().strip().replaceAll("[^\\p{L}\\p{N}._-]+", "-").replaceAll("^[-.]+|-+$", "");
        return plain.substring(0, Math.min(LONGEST, plain.length()));
    }

    /** A file's name without its ending. */
    static String stem(String file) {
        int dot = file.lastIndexOf('.');
        return dot > 0 ? file.substring(0, dot) : file;
    }
}
