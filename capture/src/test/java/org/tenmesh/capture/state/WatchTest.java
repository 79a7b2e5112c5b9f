package org.tenmesh.capture.state;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.capture.Capture;
import org.tenmesh.capture.KeptInbox;
import org.tenmesh.capture.Sources;
import org.tenmesh.capture.pieces.Piece;
import org.tenmesh.capture.pieces.RunPart;
import org.tenmesh.capture.settings.CaptureSettings;
import org.tenmesh.capture.settings.Source;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

class WatchTest {
    @TempDir
    private Path folder;

    private long nanos;

    private Watch watch() {
        Source source = Sources.one(folder, """
                sources:
                  - name: ph
                    kind: lines
                    listen: 127.0.0.1:0
                    instrument: PH1
                    method: ph-water-1-1
                    reader: meter-lines
                    expect_seconds: 60
                """);
        return new Watch(source, Clock.fixed(KeptInbox.NOON, ZoneOffset.UTC), () -> nanos);
    }

    private static Piece readAt(Instant at) {
        OffsetDateTime when = at.atOffset(ZoneOffset.UTC);
        Readings one = Readings.builder()
                .add(1, Role.SAMPLE, "26329-0001", "", "pH", 6.5, Unit.PH, when, 1)
                .build();
        return Piece.of("ph", "1", "a line", KeptInbox.NOON, new byte[] {1})
                .adds(List.of(new RunPart(new Run("R", "ph-water-1-1", "PH1", Optional.empty(), when, one), false)));
    }

    @Test
    void tellsASourceThatIsSilentWhileItsRunIsUnderWay() {
        Watch watch = watch();
        nanos += Duration.ofHours(1).toNanos();
        assertThat(watch.now().wrong()).as("no run is under way").isEmpty();
        watch.run(Optional.of("R"), 1);
        assertThat(watch.now().wrong())
                .containsExactly(
                        "nothing came for 60 min although run R is under way; something is expected every 60 s");
        watch.kept(readAt(KeptInbox.NOON), false);
        assertThat(watch.now().wrong()).isEmpty();
    }

    @Test
    void tellsAClockThatIsAnHourOff() {
        Watch watch = watch();
        watch.kept(readAt(KeptInbox.NOON.minus(Duration.ofHours(1))), false);
        assertThat(watch.now().wrong()).containsExactly("its clock is 60 min behind this machine's");
        watch.kept(readAt(KeptInbox.NOON.plus(Duration.ofHours(1))), false);
        assertThat(watch.now().wrong()).containsExactly("its clock is 60 min ahead of this machine's");
        watch.kept(readAt(KeptInbox.NOON.plus(Duration.ofSeconds(90))), false);
        assertThat(watch.now().wrong()).isEmpty();
    }

    @Test
    void saysThatADiskIsNearlyFullBeforeItIs() {
        CaptureSettings settings =
                new CaptureSettings(List.of(), Optional.empty(), 100_000_000, List.of(), List.of(), Map.of());
        try (Capture capture =
                Capture.start(settings, new KeptInbox(), Clock.systemUTC(), ZoneOffset.UTC, List.of(folder, folder))) {
            assertThat(capture.warnings()).hasSize(1);
            assertThat(capture.warnings().get(0)).contains("MB left, less than 100000000 MB");
        }
        try (Capture capture = Capture.start(
                new CaptureSettings(List.of(), Optional.empty(), 0, List.of(), List.of(), Map.of()),
                new KeptInbox(),
                Clock.systemUTC(),
                ZoneOffset.UTC,
                List.of(folder))) {
            assertThat(capture.warnings()).isEmpty();
        }
    }
}
