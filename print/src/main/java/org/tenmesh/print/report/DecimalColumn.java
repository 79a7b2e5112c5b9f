package org.tenmesh.print.report;

import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.tenmesh.core.release.ReleasedResult;

/**
 * How the numbers of one column line up at their decimal points. What a number lacks is filled with spaces as wide as a digit, a
 * point or the gap between thousands; in the shipped fonts every digit, {@code <}, {@code >} and {@code ±} has the same width.
 *
 * @param decimals most digits after a point of any number
 * @param whole most digits before the point of any uncertainty; 0 where there is none
 * @param uncertainDecimals most digits after the point of any uncertainty
 */
record DecimalColumn(int decimals, int whole, int uncertainDecimals) {
    private static final Pattern NUMBER = Pattern.compile("(\\d+)(?:\\.(\\d+))?$");
    private static final char DIGIT = '\u2007';
    private static final char POINT = '\u2008';
    private static final char THOUSANDS = '\u2009';

    static DecimalColumn of(List<ReleasedResult> results) {
        int decimals = 0;
        int whole = 0;
        int uncertainDecimals = 0;
        for (ReleasedResult result : results) {
            Matcher number = NUMBER.matcher(result.reported());
            if (result.kind().isNumeric() && number.find()) {
                decimals = Math.max(decimals, fraction(number));
            }
            Matcher uncertainty = NUMBER.matcher(result.uncertainty());
            if (uncertainty.find()) {
                whole = Math.max(whole, uncertainty.group(1).length());
                uncertainDecimals = Math.max(uncertainDecimals, fraction(uncertainty));
            }
        }
        return new DecimalColumn(decimals, whole, uncertainDecimals);
    }

    private static int fraction(Matcher number) {
        return number.group(2) == null ? 0 : number.group(2).length();
    }

    /** A reported number with its thousands apart, filled up after its last digit. */
    String value(String reported) {
        Matcher number = NUMBER.matcher(reported);
        return number.find() ? grouped(reported) + tail(fraction(number), decimals) : reported;
    }

    /** "± 0.4" filled up on both sides, so that it lines up under and over the others; blank of the same width for a text without. */
    String uncertainty(String uncertainty) {
        if (uncertainty.isEmpty()) {
            return whole == 0 ? "" : DIGIT + String.valueOf(THOUSANDS) + missing(0, whole) + tail(0, uncertainDecimals);
        }
        Matcher number = NUMBER.matcher(uncertainty);
        if (!number.find()) {
            return "±" + THOUSANDS + uncertainty;
        }
        return "±"
                + THOUSANDS
                + missing(number.group(1).length(), whole)
                + grouped(uncertainty)
                + tail(fraction(number), uncertainDecimals);
    }

    private static String tail(int digits, int of) {
        if (digits >= of) {
            return "";
        }
        return (digits == 0 ? String.valueOf(POINT) : "")
                + String.valueOf(DIGIT).repeat(of - digits);
    }

    /** The room of the digits that a whole number lacks, with the gaps between thousands that come with them. */
    private static String missing(int digits, int of) {
        StringBuilder room = new StringBuilder();
        for (int place = of; place > digits; place--) {
            room.append(DIGIT);
            if (place > 1 && place % 3 == 1) {
                room.append(THOUSANDS);
            }
        }
        return room.toString();
    }

    /** "1720.5" as "1 720.5", with thin spaces. */
    static String grouped(String number) {
        Matcher matcher = NUMBER.matcher(number);
        if (!matcher.find() || matcher.group(1).length() < 4) {
            return number;
        }
        String whole = matcher.group(1);
        StringBuilder grouped = new StringBuilder(number.substring(0, matcher.start()));
        for (int i = 0; i < whole.length(); i++) {
            if (i > 0 && (whole.length() - i) % 3 == 0) {
                grouped.append(THOUSANDS);
            }
            grouped.append(whole.charAt(i));
        }
        return grouped.append(number.substring(matcher.end(1))).toString();
    }
}
