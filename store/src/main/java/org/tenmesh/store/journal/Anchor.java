package org.tenmesh.store.journal;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * The newest entry of the journal at a time, to be kept outside the database: on paper, in a file on another machine, in a mail. Whoever
 * can write the whole database can cut off its newest part or write another journal; neither holds the entry that an anchor names.
 *
 * @param seq number of the entry, 0 of an empty journal
 * @param sha256 its hash, or the first 16 digits of it where a person typed the short form
 * @param at when the entry was written
 */
public record Anchor(long seq, String sha256, Instant at) {
    private static final Pattern WHOLE =
            Pattern.compile("(\\d{4}-\\d\\d-\\d\\dT[0-9:.]+Z) entry (\\d{1,18}) ([0-9a-f]{64})(?![0-9a-f])");
    private static final Pattern SHORT =
            Pattern.compile("(?<![0-9a-f-])(\\d{1,18})((?:-[0-9a-f]{4}){4})(?![0-9a-f-])", Pattern.CASE_INSENSITIVE);
    private static final int GROUP = 4;
    private static final int TYPED = 16;

    public Anchor {
        if (seq < 0 || !sha256.matches("[0-9a-f]{16}|[0-9a-f]{64}")) {
            throw new IllegalArgumentException(
                    "an anchor has a number and 16 or 64 hexadecimal digits, found " + seq + ", " + sha256);
        }
    }

    /** A line of a file of anchors. */
    public String line() {
        return at + " entry " + seq + " " + sha256;
    }

    /** Number and the first 16 digits in groups of four, to be typed from paper: {@code 12-89ab-cdef-0123-4567}. */
    public String shortForm() {
        StringBuilder text = new StringBuilder().append(seq);
        for (int i = 0; i < TYPED; i += GROUP) {
            text.append('-').append(sha256, i, i + GROUP);
        }
        return text.toString();
    }

    /** The anchors in any text: a file of lines, a mail, one that was typed in the short form. */
    public static List<Anchor> in(String text) {
        List<Anchor> anchors = new ArrayList<>();
        Matcher whole = WHOLE.matcher(text);
        while (whole.find()) {
            anchors.add(new Anchor(Long.parseLong(whole.group(2)), whole.group(3), Instant.parse(whole.group(1))));
        }
        Matcher typed = SHORT.matcher(text);
        while (typed.find()) {
            anchors.add(new Anchor(
                    Long.parseLong(typed.group(1)),
                    typed.group(2).replace("-", "").toLowerCase(Locale.ROOT),
                    Instant.EPOCH));
        }
        return anchors;
    }
}
