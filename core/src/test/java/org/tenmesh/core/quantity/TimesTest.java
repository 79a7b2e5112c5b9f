package org.tenmesh.core.quantity;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class TimesTest {
    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "-0.5|1 times",
                "0|1 times",
                "0.4|2.5 times",
                "1|10 times",
                "1.51|32 times",
                "2.48|300 times",
                "3.3|2,000 times",
                "3.99|10,000 times",
                "4|10⁴ times",
                "12.4|10¹² times",
                "149.7|10¹⁵⁰ times",
                "367.2|10³⁶⁷ times"
            })
    void saysARatioAsAPersonWould(double log10, String words) {
        assertThat(Times.text(log10)).isEqualTo(words);
    }
}
