package org.tenmesh.core.shelf;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.intake.LabNumber;

final class DiscardListTest {
    private static final LocalDate RELEASED = LocalDate.of(2026, 10, 1);
    private static final LocalDate TODAY = LocalDate.of(2026, 11, 30);

    private static LabNumber number(int serial) {
        return LabNumber.of(LocalDate.of(2026, 9, 20), serial);
    }

    private static Stored soil(int serial, String box) {
        return new Stored(
                number(serial),
                Keeping.ORDINARY,
                Stored.State.ON_SHELF,
                box,
                Optional.of("P-A1"),
                Optional.empty(),
                Optional.of(RELEASED),
                List.of());
    }

    private static Stored released(Stored soil, LocalDate on) {
        return new Stored(
                soil.labNumber(),
                soil.keeping(),
                soil.state(),
                soil.box(),
                soil.place(),
                soil.loan(),
                Optional.of(on),
                soil.pauses());
    }

    private static Stored regulated(int number) {
        return new Stored(
                number(number),
                Keeping.REGULATED,
                Stored.State.ON_SHELF,
                "B-000009",
                Optional.empty(),
                Optional.empty(),
                Optional.of(RELEASED),
                List.of());
    }

    private static Stored held(int number) {
        return soil(number, "B-000001")
                .with("B-000001", Optional.empty(), List.of(new Pause("complaint", RELEASED, Optional.empty())));
    }

    private static List<LabNumber> numbers(List<Stored> soils) {
        return soils.stream().map(Stored::labNumber).toList();
    }

    @Test
    void saysOfEachThatIsDueWhyItStaysAndFromWhichDayItMayGo() {
        Stored regulated = regulated(2);
        LocalDate back = TODAY.plusDays(5);
        Stored lent = soil(3, "B-000001").in(Stored.State.LENT, Optional.of(new Stored.Loan("N. Okafor", back)));
        Stored held = held(4);
        // Held from the tenth day on until the 20th of December: 18 of its 28 days are left then.
        Stored dated = soil(5, "B-000001")
                .with(
                        "B-000001",
                        Optional.empty(),
                        List.of(new Pause(
                                "legal hold", RELEASED.plusDays(10), Optional.of(LocalDate.of(2026, 12, 20)))));
        // Held for forty days: 28 and 40 days after its release.
        Stored stood = soil(6, "B-000001")
                .with(
                        "B-000001",
                        Optional.empty(),
                        List.of(new Pause("recheck", RELEASED.plusDays(5), Optional.of(RELEASED.plusDays(45)))));
        Stored ordered = soil(7, "B-000001");
        Stored unreleased = new Stored(
                number(8),
                Keeping.ORDINARY,
                Stored.State.ON_SHELF,
                "B-000001",
                Optional.empty(),
                Optional.empty(),
                Optional.empty(),
                List.of());
        List<Stored> all = List.of(soil(1, "B-000001"), regulated, lent, held, dated, stood, ordered, unreleased);
        assertThat(DiscardList.keptOff(all, 28, TODAY, Set.of(number(7))))
                .extracting(one -> one.soil().labNumber() + " " + one.why() + " "
                        + one.from().map(LocalDate::toString).orElse("unknown"))
                .containsExactlyInAnyOrder(
                        number(2) + " regulated: it is destroyed under its permit and stands on no such list unknown",
                        number(3) + " lent to N. Okafor, back on 2026-12-05 2026-12-05",
                        number(4) + " complaint, not lifted yet unknown",
                        number(5) + " legal hold until 2026-12-20 2027-01-07",
                        number(6) + " its time stood still for a while 2026-12-08",
                        number(7) + " something of it is held or ordered to be made again unknown",
                        number(8) + " not everything is released unknown");
    }

    /** Whatever is due is on the list or kept off it with a reason, and what has a day may go on that day and not before. */
    @Test
    void nothingThatIsDueIsNeitherListedNorExplained() {
        Random random = new Random(7);
        int explained = 0;
        int dated = 0;
        for (int i = 0; i < 3000; i++) {
            List<Pause> pauses = new ArrayList<>();
            for (int p = random.nextInt(3); p > 0; p--) {
                LocalDate from = RELEASED.plusDays(random.nextInt(80));
                pauses.add(new Pause(
                        "complaint " + p,
                        from,
                        random.nextInt(4) == 0
                                ? Optional.empty()
                                : Optional.of(from.plusDays(1 + random.nextInt(40)))));
            }
            Stored soil = soil(1, "B-000001").with("B-000001", Optional.of("P-A1"), pauses);
            if (random.nextInt(4) == 0) {
                soil = soil.in(
                        Stored.State.LENT,
                        Optional.of(new Stored.Loan("N. Okafor", TODAY.plusDays(random.nextInt(9)))));
            }
            Set<LabNumber> waiting = random.nextInt(5) == 0 ? Set.of(number(1)) : Set.of();
            List<DiscardList.KeptOff> kept = DiscardList.keptOff(List.of(soil), 28, TODAY, waiting);
            assertThat(kept.isEmpty())
                    .as("%s", soil)
                    .isNotEqualTo(
                            DiscardList.due(List.of(soil), 28, TODAY, waiting).isEmpty());
            for (DiscardList.KeptOff one : kept) {
                explained++;
                assertThat(one.why()).isNotBlank();
                Stored back = soil.in(Stored.State.ON_SHELF, Optional.empty());
                if (one.from().isPresent()) {
                    dated++;
                    LocalDate from = one.from().get();
                    assertThat(DiscardList.staysBecause(back, 28, from, waiting))
                            .as("%s on %s", soil, from)
                            .isEmpty();
                    if (soil.loan().isEmpty()) {
                        assertThat(DiscardList.staysBecause(back, 28, from.minusDays(1), waiting))
                                .as("%s the day before %s", soil, from)
                                .isNotEmpty();
                    }
                }
            }
        }
        assertThat(explained).isGreaterThan(500);
        assertThat(dated).isGreaterThan(200);
    }

    @Test
    void listsOnlyWhatNothingHoldsBack() {
        Stored regulated = regulated(2);
        Stored lent = soil(3, "B-000001").in(Stored.State.LENT, Optional.of(new Stored.Loan("N. Okafor", TODAY)));
        Stored held = held(4);
        Stored fresh = released(soil(5, "B-000001"), TODAY.minusDays(27));
        Stored ordered = soil(6, "B-000001");
        List<Stored> all = List.of(soil(1, "B-000001"), regulated, lent, held, fresh, ordered);
        assertThat(numbers(DiscardList.due(all, 28, TODAY, Set.of(number(6))))).containsExactly(number(1));
        assertThat(numbers(DiscardList.due(all, 27, TODAY, Set.of(number(6))))).containsExactly(number(1), number(5));
    }

    @Test
    void aLineThatWasNotScannedStays() {
        List<Stored> boxes = new ArrayList<>(List.of(soil(1, "B-000001"), soil(2, "B-000001"), soil(3, "B-000002")));
        Stored younger = released(soil(4, "B-000002"), TODAY);
        boxes.add(younger);
        DiscardList list = new DiscardList(
                "D-261130-1", TODAY, List.of(number(1), number(2), number(3)), Set.of("B-000001", "B-000002"), "");
        assertThat(list.refusal("B-000001", boxes, 28, TODAY, Set.of())).isEmpty();
        assertThat(list.refusal("B-000002", boxes, 28, TODAY, Set.of()).orElseThrow())
                .contains("one by one");
        assertThat(list.refusal("B-000003", boxes, 28, TODAY, Set.of())).isPresent();
        assertThat(list.refusal(number(4).text(), boxes, 28, TODAY, Set.of()).orElseThrow())
                .contains("not on this list");
        // A box that holds more than the list is not taken whole, however it came to be scanned.
        assertThat(list.settled(boxes, 28, TODAY, Set.of()))
                .extracting(DiscardList.Line::why)
                .containsExactly("", "", "not scanned");
        DiscardList scanned = new DiscardList(
                list.name(), TODAY, list.lines(), Set.of("B-000001", number(3).text()), "");
        assertThat(scanned.settled(boxes, 28, TODAY, Set.of())).allMatch(DiscardList.Line::leaves);
        assertThat(scanned.settled(boxes, 28, TODAY, Set.of(number(2))))
                .extracting(DiscardList.Line::why)
                .as("a box with something in it that is to stay is not taken whole")
                .containsExactly("not scanned", "something of it is held or ordered to be made again", "");
    }

    @Test
    void whatChangedSinceTheListWasMadeStays() {
        List<Stored> boxes = List.of(
                soil(1, "B-000001").in(Stored.State.LENT, Optional.of(new Stored.Loan("N. Okafor", TODAY))),
                soil(2, "B-000001"));
        DiscardList list = new DiscardList(
                "D-261130-1",
                TODAY,
                List.of(number(1), number(2)),
                Set.of(number(1).text(), "B-000001"),
                "");
        assertThat(list.settled(boxes, 28, TODAY, Set.of()))
                .extracting(DiscardList.Line::why)
                .containsExactly("lent", "not scanned");
    }
}
