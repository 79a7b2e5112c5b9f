package org.tenmesh.web.custody;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.custody.Area;
import org.tenmesh.core.custody.Charge;
import org.tenmesh.core.custody.HeatRecord;
import org.tenmesh.core.custody.Treatment;
import org.tenmesh.exchange.readers.TemperatureLines;

final class TypedTest {
    private static String example(String name) throws IOException {
        Path examples = Path.of("examples", "regulated");
        return Files.readString(
                (Files.exists(examples) ? examples : Path.of("..").resolve(examples)).resolve(name));
    }

    @Test
    void theExamplesAreTakenAsTheyStandAndComeBackAsTheyWere() throws IOException {
        List<Area> areas = Typed.areas(example("areas.txt"));
        assertThat(areas).hasSize(15).allMatch(one -> one.note().startsWith("example"));
        assertThat(Typed.areas(Typed.text(areas))).isEqualTo(areas);
        List<Treatment> treatments = Typed.treatments(example("treatments.txt"));
        assertThat(treatments).hasSize(2);
        assertThat(treatments.get(0).limits()).containsExactly(new Treatment.Limit(121, Duration.ofHours(2)));
        assertThat(treatments.get(1).confirm())
                .containsExactly("15 psi held throughout", "layers at most 2 inches deep");
        assertThat(Typed.treatments(Typed.treatmentText(treatments))).isEqualTo(treatments);
    }

    @Test
    void theExampleOfARecordMeetsTheLimitOfTheExample() throws IOException {
        List<Charge.Point> points = Typed.points(example("record.csv"), ZoneOffset.UTC);
        assertThat(points).hasSize(152);
        Charge charge = new Charge(
                "C1",
                "oven",
                "P-1",
                1,
                Typed.treatments(example("treatments.txt")).get(0),
                List.of("middle", "door"),
                0.5,
                "A. Bench",
                Instant.parse("2026-11-25T08:30:00Z"));
        Instant begin = Instant.parse("2026-11-25T08:30:00Z");
        assertThat(HeatRecord.of(charge, begin, begin.plus(Duration.ofMinutes(150)), points)
                        .passed())
                .isTrue();
        assertThat(HeatRecord.of(charge, begin, begin.plus(Duration.ofMinutes(130)), points)
                        .passed())
                .isFalse();
    }

    @Test
    void saysWhichLineIsWrongAndWhatWasExpected() {
        assertThatThrownBy(() -> Typed.areas("US; Iowa\nUSA; Iowa"))
                .hasMessageContaining("Line 2")
                .hasMessageContaining("two letters")
                .hasMessageContaining("Nothing was kept");
        assertThatThrownBy(() -> Typed.treatments("heat; 121 for long; unbroken; 5; all; ; here"))
                .hasMessageContaining("Line 1");
        assertThatThrownBy(() -> Typed.points("2026-11-25 08:30; door; 121,5", ZoneOffset.UTC))
                .hasMessageContaining("decimal point");
        assertThatThrownBy(() -> Typed.points("yesterday; door; 121.5", ZoneOffset.UTC))
                .hasMessageContaining("Line 1");
        assertThatThrownBy(() -> Typed.stated("storage limit", "")).hasMessageContaining("left empty");
        assertThat(Typed.stated("storage limit", "none")).isEmpty();
    }

    @Test
    void readsTimesByTheLaboratorysClockOrWithTheirOffset() {
        ZoneId zone = ZoneId.of("America/Chicago");
        assertThat(TemperatureLines.moment("2026-11-25 08:30", zone)).isEqualTo(Instant.parse("2026-11-25T14:30:00Z"));
        assertThat(TemperatureLines.moment("2026-11-25T08:30:10+01:00", zone))
                .isEqualTo(Instant.parse("2026-11-25T07:30:10Z"));
    }
}
