package org.tenmesh.web.custody;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.custody.Charge;
import org.tenmesh.core.custody.Treatment;
import org.tenmesh.store.custody.ChargeState;
import org.tenmesh.web.cards.SilentRecorder;

final class ChargeViewTest {
    private static final Instant START = Instant.parse("2026-11-25T08:00:00Z");

    private static ChargeState state(List<Charge.Point> points, Optional<ChargeState.Closed> closed) {
        return new ChargeState(
                new Charge(
                        "C1",
                        "Oven 2",
                        "P-1",
                        1,
                        new Treatment(
                                "heat",
                                List.of(new Treatment.Limit(121, Duration.ofHours(2))),
                                true,
                                Duration.ofMinutes(5),
                                Set.of(),
                                List.of(),
                                "an invented permit"),
                        List.of("middle", "door"),
                        1,
                        "A. Bench",
                        START),
                List.of("soil"),
                Optional.of(START),
                points,
                List.of("recorder", "recorder", "typed"),
                closed,
                List.of(),
                Optional.empty());
    }

    private static Instant minute(int minute) {
        return START.plus(Duration.ofMinutes(minute));
    }

    private static List<Charge.Point> points() {
        List<Charge.Point> points = new ArrayList<>();
        for (int minute = 0; minute <= 40; minute++) {
            points.add(new Charge.Point(minute(minute), "middle", 130));
            if (minute <= 20 || minute >= 27) {
                points.add(new Charge.Point(minute(minute), "door", 124));
            }
        }
        return points;
    }

    @Test
    void showsTheRecordSoFarAndThatNothingComesAnyMore() {
        ChargeView view =
                ChargeView.of(state(points(), Optional.empty()), List.of("recorder"), minute(52), ZoneOffset.UTC);
        assertThat(view.recorder()).isEqualTo("Source recorder records Oven 2: its readings are added as they come.");
        assertThat(view.latest())
                .containsExactly(
                        new ChargeView.LatestLine("door", "123 °C", "08:40:00, 12 min ago", true),
                        new ChargeView.LatestLine("middle", "129 °C", "08:40:00, 12 min ago", true));
        assertThat(view.limits()).extracting(ChargeView.LimitLine::counted).containsExactly("20 min");
        assertThat(view.gaps())
                .containsExactly(
                        "No reading of sensor door from 08:20:00 to 08:27:00 (7 min): this time does not count.",
                        "No reading of any sensor since 08:40:00 (12 min): this time does not count.");
        assertThat(view.silent())
                .isEqualTo(
                        "The recorder of Oven 2 has sent nothing since 25 Nov 2026 08:40 (12 min): this time does not"
                                + " count. Look at the recorder and its line, or close the charge.");
        assertThat(view.reasonsSay()).isEqualTo("If it were closed now it would fail:");
        assertThat(view.picture().split(">gap<", -1))
                .as("the gap of the door, and the end of both sensors")
                .hasSize(4);
        assertThat(view.sources()).containsExactly("recorder in 2 pieces", "typed");
        assertThat(view.picture().split("M", -1))
                .as("the line of the door begins anew after its gap")
                .hasSizeGreaterThan(ChargeView.of(
                                state(
                                        points().stream()
                                                .filter(one -> one.at().isBefore(minute(20)))
                                                .toList(),
                                        Optional.empty()),
                                List.of("recorder"),
                                minute(52),
                                ZoneOffset.UTC)
                        .picture()
                        .split("M", -1)
                        .length);
    }

    @Test
    void aSensorIsSilentAloneWhileTheOthersSend() {
        List<Charge.Point> points = new ArrayList<>(points());
        points.removeIf(one -> one.sensor().equals("door") && one.at().isAfter(minute(30)));
        assertThat(SilentRecorder.of(
                        List.of(state(points, Optional.empty())), List.of("Oven 2"), minute(40), ZoneOffset.UTC))
                .extracting(SilentRecorder::says)
                .singleElement()
                .asString()
                .startsWith("The recorder of Oven 2 has sent nothing of sensor door since 25 Nov 2026 08:30 (10 min)");
        assertThat(SilentRecorder.of(
                        List.of(state(points(), Optional.empty())), List.of("Oven 2"), minute(45), ZoneOffset.UTC))
                .as("as long as the treatment allows")
                .isEmpty();
        assertThat(SilentRecorder.of(
                        List.of(state(points(), Optional.empty())), List.of("Oven 3"), minute(52), ZoneOffset.UTC))
                .as("no source records this oven")
                .isEmpty();
    }

    @Test
    void aTypedRecordEndsWithItsLastPointAndAClosedOneWhenTheDeviceWasOpened() {
        ChargeView typed = ChargeView.of(state(points(), Optional.empty()), List.of(), minute(52), ZoneOffset.UTC);
        assertThat(typed.gaps()).hasSize(1);
        assertThat(typed.recorder()).startsWith("No source is named as the recorder of Oven 2");
        assertThat(typed.latest()).isEmpty();
        assertThat(typed.silent()).isEmpty();
        ChargeView closed = ChargeView.of(
                state(
                        points(),
                        Optional.of(new ChargeState.Closed(
                                minute(60), List.of(), false, List.of(), "A. Bench", minute(61)))),
                List.of("recorder"),
                minute(500),
                ZoneOffset.UTC);
        assertThat(closed.recorder()).isEmpty();
        assertThat(closed.latest()).isEmpty();
        assertThat(closed.silent()).isEmpty();
        assertThat(closed.gaps())
                .hasSize(2)
                .last()
                .asString()
                .contains("any sensor from 08:40:00 to 09:00:00 (20 min)");
        assertThat(ChargeView.of(state(List.of(), Optional.empty()), List.of(), minute(52), ZoneOffset.UTC)
                        .gaps())
                .isEmpty();
    }
}
