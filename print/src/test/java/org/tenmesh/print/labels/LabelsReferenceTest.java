package org.tenmesh.print.labels;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import uk.org.okapibarcode.graphics.Rectangle;

/**
 * The structure of Code 128 as published at barcodeisland.com/code128.phtml (read): start 103 A, 104 B or 105 C, data, check
 * symbol = (start + sum of place x value) mod 103 with places from 1, stop {@code 11000111010} and a last bar {@code 11};
 * eleven modules a symbol. The widths of the 106 symbols are from memory of ISO/IEC 15417; a wrong one would break the check.
 */
class LabelsReferenceTest {
    private static final String[] WIDTHS =
            ("212222 222122 222221 121223 121322 131222 122213 122312 132212 221213 221312 "
                            + "231212 112232 122132 122231 113222 123122 123221 223211 221132 221231 213212 223112 312131 311222 "
                            + "321122 321221 312212 322112 322211 212123 212321 232121 111323 131123 131321 112313 132113 132311 "
                            + "211313 231113 231311 112133 112331 132131 113123 113321 133121 313121 211331 231131 213113 213311 "
                            + "213131 311123 311321 331121 312113 312311 332111 314111 221411 431111 111224 111422 121124 121421 "
                            + "141122 141221 112214 112412 122114 122411 142112 142211 241211 221114 413111 241112 134111 111242 "
                            + "121142 121241 114212 124112 124211 411212 421112 421211 212141 214121 412121 111143 111341 131141 "
                            + "114113 114311 411113 411311 113141 114131 311141 411131 211412 211214 211232")
                    .split(" ");

    @Test
    void encodesTheVectorOfTwoDigitPairs() {
        // 105 start C, 26 11 04 17, check (105 + 26 + 22 + 12 + 68) mod 103 = 27, computed from the published rule
        assertThat(values("26110417")).containsExactly(105, 26, 11, 4, 17, 27);
    }

    @ParameterizedTest
    @ValueSource(strings = {"26329-0417-K", "0188", "A", "26110417", "26329-12345-Q", "North bench 4"})
    void endsInTheCheckSymbolOfThePublishedRule(String text) {
        List<Integer> values = values(text);
        int sum = values.get(0);
        for (int place = 1; place < values.size() - 1; place++) {
            sum += place * values.get(place);
        }
        assertThat(values.get(0)).isBetween(103, 105);
        assertThat(values.get(values.size() - 1)).isEqualTo(sum % 103);
    }

    @Test
    void endsInTheStopSymbolAndItsLastBar() {
        assertThat(modules("26110417")).endsWith("1100011101011").hasSize(6 * 11 + 13);
    }

    /** The symbol as one character a module: 1 a bar, 0 a space. */
    private static String modules(String text) {
        List<Rectangle> bars = new ArrayList<>(Labels.encoded(text).getRectangles());
        bars.sort(Comparator.comparingDouble(bar -> bar.x));
        StringBuilder modules = new StringBuilder();
        for (Rectangle bar : bars) {
            modules.append("0".repeat((int) Math.round(bar.x) - modules.length()));
            modules.append("1".repeat((int) Math.round(bar.width)));
        }
        return modules.toString();
    }

    /** The values from start to check symbol, read back from bars and spaces. */
    private static List<Integer> values(String text) {
        String modules = modules(text);
        List<Integer> values = new ArrayList<>();
        for (int at = 0; at < modules.length() - 13; at += 11) {
            StringBuilder widths = new StringBuilder();
            int from = at;
            for (int i = at + 1; i <= at + 11; i++) {
                if (i == at + 11 || modules.charAt(i) != modules.charAt(from)) {
                    widths.append(i - from);
                    from = i;
                }
            }
            int value = List.of(WIDTHS).indexOf(widths.toString());
            assertThat(value).as("symbol of widths " + widths).isNotNegative();
            values.add(value);
        }
        return values;
    }
}
