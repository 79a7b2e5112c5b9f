package org.tenmesh.core.custody;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.dock.Booking;
import org.tenmesh.core.dock.DockAct;
import org.tenmesh.core.dock.Ruling;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;

final class ApartTest {
    private static final Ruling ORDINARY =
            new Ruling(Ruling.Answer.NOT_LISTED, "not listed", "", "P-1", List.of(), List.of());
    private final List<DockAct> acts = new ArrayList<>(List.of(
            act(DockAct.What.BOX, 0, "BX", "sound"),
            act(DockAct.What.THERE, 1, "", DockAct.TICKED),
            act(DockAct.What.THERE, 2, "", DockAct.TICKED),
            act(DockAct.What.COUNTED, 2, "", ""),
            act(DockAct.What.BOOKED, 2, "", DockAct.ORDINARY)));

    private static DockAct act(DockAct.What what, int number, String about, String says) {
        return new DockAct(
                what.word() + number, "SUB-1", what, number, about, says, "because", "M. Whelan", Instant.EPOCH);
    }

    private Booking booking() {
        return Booking.of(
                new org.tenmesh.core.dock.Expected(
                        "SUB-1",
                        List.of(
                                new org.tenmesh.core.dock.Expected.Bag(1, "North", ""),
                                new org.tenmesh.core.dock.Expected.Bag(2, "South", "")),
                        new org.tenmesh.core.dock.Origin("IE", "Meath")),
                acts,
                came -> ORDINARY);
    }

    private static Soil soil(int number, boolean regulated) {
        return new Soil(
                new LabNumber("S-" + number),
                number > 2 ? Optional.empty() : Optional.of("SUB-1"),
                number > 2 ? OptionalInt.empty() : OptionalInt.of(number),
                Optional.empty(),
                OptionalDouble.empty(),
                OptionalDouble.empty(),
                Optional.empty(),
                Optional.of(regulated));
    }

    private static final Tray TRAY = new Tray(
            "T1",
            List.of(
                    new Tray.Place(new Well(0), Optional.of(new LabNumber("S-1")), Tray.Purpose.SOIL),
                    new Tray.Place(new Well(1), Optional.of(new LabNumber("S-2")), Tray.Purpose.SOIL),
                    new Tray.Place(new Well(2), Optional.of(new LabNumber("S-3")), Tray.Purpose.SOIL)));

    @Test
    void aLayoutFitsTheBookingsItWasMadeOf() {
        assertThat(Apart.refusal(
                        List.of(booking()), List.of(soil(1, false), soil(2, false), soil(3, false)), List.of(TRAY)))
                .isEmpty();
    }

    @Test
    void whatBecameRegulatedMeanwhileIsNotLaidOutAsOrdinary() {
        acts.add(act(DockAct.What.MADE_REGULATED, 0, "P-1", ""));
        assertThat(Apart.refusal(
                        List.of(booking()), List.of(soil(1, false), soil(2, false), soil(3, false)), List.of(TRAY)))
                .hasValueSatisfying(why -> assertThat(why).contains("is regulated, and was laid out otherwise"));
        assertThat(Apart.refusal(
                        List.of(booking()), List.of(soil(1, true), soil(2, true), soil(3, true)), List.of(TRAY)))
                .isEmpty();
    }

    @Test
    void whatWasTakenBackMeanwhileIsNotLaidOut() {
        acts.add(act(DockAct.What.TAKEN_BACK, 0, "booked2", ""));
        assertThat(Apart.refusal(
                        List.of(booking()), List.of(soil(1, false), soil(2, false), soil(3, false)), List.of(TRAY)))
                .hasValueSatisfying(why -> assertThat(why).contains("not booked in any more"));
    }

    @Test
    void noTrayHoldsBothKindsAndWhatNobodySaidCountsAsRegulated() {
        assertThat(Apart.refusal(
                        List.of(booking()), List.of(soil(1, false), soil(2, false), soil(3, true)), List.of(TRAY)))
                .contains("Tray T1 holds regulated and ordinary soil.");
        assertThat(Apart.refusal(List.of(booking()), List.of(soil(1, false), soil(2, false)), List.of(TRAY)))
                .as("a well of which no soil is known")
                .contains("Tray T1 holds regulated and ordinary soil.");
        assertThat(Apart.refusal(List.of(booking()), List.of(soil(1, false)), List.of(TRAY)))
                .contains("Submission SUB-1 has changed since its layout was made.");
    }
}
