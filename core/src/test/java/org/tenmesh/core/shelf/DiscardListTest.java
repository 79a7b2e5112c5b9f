package org.tenmesh.core.shelf;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
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

    private static List<LabNumber> numbers(List<Stored> soils) {
        return soils.stream().map(Stored::labNumber).toList();
    }

    @Test
    void listsOnlyWhatNothingHoldsBack() {
        Stored regulated = new Stored(
                number(2),
                Keeping.REGULATED,
                Stored.State.ON_SHELF,
                "B-000009",
                Optional.empty(),
                Optional.empty(),
                Optional.of(RELEASED),
                List.of());
        Stored lent = soil(3, "B-000001").in(Stored.State.LENT, Optional.of(new Stored.Loan("N. Okafor", TODAY)));
        Stored held = soil(4, "B-000001")
                .with("B-000001", Optional.empty(), List.of(new Pause("complaint", RELEASED, Optional.empty())));
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
