package org.tenmesh.core.quantity;

import java.util.List;
import java.util.Map;

/** Numbers of the policy inside sentences: in words where they are small and round, else in digits. */
public final class Spoken {
    private static final List<String> NUMBERS =
            List.of("two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve");
    private static final Map<Double, String> SHARES =
            Map.of(0.5, "half", 0.25, "a quarter", 0.2, "a fifth", 0.1, "a tenth");

    private Spoken() {}

    /** How many times: "ten" for 10, "2.5" for 2.5. */
    public static String number(double number) {
        int at = (int) number - 2;
        return number == Math.rint(number) && at >= 0 && at < NUMBERS.size()
                ? NUMBERS.get(at)
                : Significant.text(number, 3);
    }

    /** Part of a whole: "a fifth" for 0.2, "15 %" for 0.15. */
    public static String share(double share) {
        return SHARES.getOrDefault(share, Significant.text(100 * share, 3) + " %");
    }
}
