package org.tenmesh.proof.power;

import java.util.Comparator;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Collectors;

/** What was counted, as words and figures. */
final class Figures {
    private static final int MOST_SAID = 4;

    private Figures() {}

    /** One line a row for a terminal. */
    static String line(Study.Counted counted) {
        return String.format(
                Locale.ROOT,
                "%-70s n %4d  found %5.1f  named %5.1f  told %5.1f  extent %5.1f%s%s  held %5.1f  %s",
                counted.row().name(),
                counted.outcomes().size(),
                100 * counted.found().share(),
                100 * counted.named().share(),
                100 * counted.told().share(),
                100 * counted.extent().share(),
                counted.further()
                        .map(rate -> String.format(Locale.ROOT, "  further %5.1f", 100 * rate.share()))
                        .orElse(""),
                counted.atRate()
                        .map(rate -> String.format(Locale.ROOT, "  at 1/1000 %5.1f", 100 * rate.share()))
                        .orElse(""),
                100 * counted.held(),
                said(counted));
    }

    static String said(Study.Counted counted) {
        return Study.instead(counted).entrySet().stream()
                .sorted(Map.Entry.<String, Integer>comparingByValue(Comparator.reverseOrder())
                        .thenComparing(Map.Entry.comparingByKey()))
                .limit(MOST_SAID)
                .map(entry -> entry.getKey() + " x" + entry.getValue())
                .collect(Collectors.joining(", "));
    }

    static String cell(Rate rate) {
        return rate.of() == 0
                ? ""
                : String.format(
                        Locale.ROOT, "%.1f (%.1f to %.1f)", 100 * rate.share(), 100 * rate.low(), 100 * rate.high());
    }

    static String cell(Study.Counted counted, String measure) {
        Rate rate = counted.measure(measure);
        Double asked = counted.row().targets().get(measure);
        return cell(rate)
                + (asked == null || rate.of() == 0
                        ? ""
                        : String.format(
                                Locale.ROOT,
                                "; asked %.0f%s",
                                100 * asked,
                                rate.share() >= asked ? "" : rate.high() >= asked ? ", not shown" : ", **missed**"));
    }
}
