package org.tenmesh.exchange.readers;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.custody.Charge;

final class TemperatureLinesTest {
    @Test
    void readsTimesByTheClockOfTheLaboratoryOrWithTheirOffset() {
        String text =
                "time;sensor;C\r\n2026-11-25 08:30;door;121.5\r\n\r\n# cleaned\r\n2026-11-25T08:30:10+01:00\tmiddle\t-4\r\n";
        assertThat(TemperatureLines.read(text, ZoneId.of("America/Chicago")))
                .isEqualTo(List.of(
                        new Charge.Point(Instant.parse("2026-11-25T14:30:00Z"), "door", 121.5),
                        new Charge.Point(Instant.parse("2026-11-25T07:30:10Z"), "middle", -4)));
        assertThat(TemperatureLines.read("\n# nothing\n", ZoneOffset.UTC)).isEmpty();
    }

    @Test
    void saysWhichLineIsWrongAndTakesNone() {
        String right = "2026-11-25 08:30; door; 121.5\n";
        for (String wrong : List.of(
                "yesterday; door; 121.5",
                "2026-11-25 08:30; door; 121,5",
                "2026-11-25 08:30; ; 121.5",
                "2026-11-25 08:30; door; 9000",
                "2026-11-25 08:30; door",
                "time; sensor; C")) {
            assertThatThrownBy(() -> TemperatureLines.read(right + wrong, ZoneOffset.UTC))
                    .as(wrong)
                    .isInstanceOf(IllegalArgumentException.class)
                    .hasMessageStartingWith("Line 2, \"" + wrong + "\"")
                    .hasMessageEndingWith(TemperatureLines.EXPECTED);
        }
    }
}
