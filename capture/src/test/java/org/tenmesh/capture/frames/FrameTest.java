package org.tenmesh.capture.frames;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.util.HexFormat;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class FrameTest {
    /**
     * Computed by hand from the rule of ASTM E1381 (CLSI LIS01-A2): the sum of all bytes from the frame number to ETX, modulo 256. Each text
     * ends with CR.
     */
    @ParameterizedTest
    @CsvSource(
            delimiter = ';',
            value = {
                "1;H|\\^&|||ICP1|||||LAB||P|LIS2-A2|20261125093000;5A",
                "2;P|1;3F",
                "3;O|1|26110417H||^^^M3|R||20261125080000;AC",
                "4;R|1|^^^P|41.7|mg/kg||N||F||OP7||20261125092955|ICP1;64",
                "5;L|1|N;08"
            })
    void checksumsAreThoseOfTheRule(int number, String text, String checksum) {
        assertThat(new Frame(number, text + "\r", true).checksum()).isEqualTo(checksum);
    }

    @Test
    void bytesAreFramed() {
        // L|1|N: 02 35 4C 7C 31 7C 4E 0D 03 30 38 0D 0A
        assertThat(new Frame(5, "L|1|N\r", true).bytes())
                .isEqualTo(HexFormat.of().parseHex("02354c7c317c4e0d0330380d0a"));
        assertThat(new String(new Frame(0, "x", false).bytes(), StandardCharsets.ISO_8859_1))
                .contains("\u0017");
        assertThat(Frame.after(6)).isEqualTo(7);
        assertThat(Frame.after(7)).isEqualTo(0);
        assertThat(Frame.after(0)).isEqualTo(1);
    }
}
