package org.tenmesh.core.custody;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;

final class AgeTest {
    private static final LocalDate RECEIVED = LocalDate.of(2026, 1, 10);

    private static Parcel parcel(String code, Optional<LocalDate> keepUntil) {
        return new Parcel(
                code,
                "SUB-1",
                Origin.written(Optional.of("US"), List.of("Tennessee")),
                "on an invented list",
                "P-1",
                1,
                RECEIVED,
                keepUntil,
                "dry",
                true);
    }

    private static Move received(String code) {
        return new Move(
                "id-" + code,
                Move.What.RECEIVED,
                code,
                code,
                PortionKind.PARCEL,
                "",
                "dock",
                1000,
                1,
                "",
                "",
                "D. Dock",
                Instant.parse("2026-01-10T08:00:00Z"));
    }

    private static List<String> told(LocalDate on, int mostDays) {
        List<Parcel> parcels = List.of(
                parcel("A", Optional.of(RECEIVED.plusDays(30))),
                parcel("B", Optional.of(RECEIVED.plusDays(400))),
                parcel("C", Optional.empty()));
        Ledger ledger = Ledger.of(List.of(received("A"), received("B"), received("C")));
        return Age.of(parcels, ledger, on, mostDays).stream()
                .map(age -> age.parcel().code() + " " + age.state() + " " + age.days() + (age.alarm() ? " alarm" : ""))
                .toList();
    }

    @Test
    void thePermitCountsFirstAndTheSettingForWhatItAllowsOrDoesNotSay() {
        assertThat(told(RECEIVED.plusDays(30), 40)).containsExactly("A SOON 0", "B IN_TIME 370", "C NONE_STATED 0");
        assertThat(told(RECEIVED.plusDays(31), 40))
                .containsExactly("A OVERDUE -1 alarm", "B IN_TIME 369", "C NONE_STATED 0");
        assertThat(told(RECEIVED.plusDays(40), 40))
                .containsExactly("A OVERDUE -10 alarm", "B IN_TIME 360", "C NONE_STATED 0");
        assertThat(told(RECEIVED.plusDays(41), 40))
                .containsExactly("A OVERDUE -11 alarm", "B OLD -1 alarm", "C OLD -1 alarm");
        assertThat(told(RECEIVED.plusDays(41), 0))
                .as("0: the permit alone counts")
                .containsExactly("A OVERDUE -11 alarm", "B IN_TIME 359", "C NONE_STATED 0");
    }
}
