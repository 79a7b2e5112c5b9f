package org.tenmesh.core.orders;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.time.OffsetDateTime;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;

class ReadAsOrderedTest {
    private static final OffsetDateTime AT = OffsetDateTime.parse("2026-11-25T08:00:00Z");

    private static final RunOrder ORDER = new RunOrder(
            "ph-1",
            "ph-water",
            "ph-meter-1",
            AT,
            List.of(
                    new RunOrder.Place(1, Role.STANDARD, "buffer-4"),
                    new RunOrder.Place(2, Role.SAMPLE, "26329-0001-X"),
                    new RunOrder.Place(3, Role.SAMPLE, "26329-0002-X", 10, true),
                    new RunOrder.Place(4, Role.VERIFICATION, "buffer-7")));

    @Test
    void whatWasReadAsOrderedHasNoDifference() {
        Readings.Builder read = Readings.builder();
        add(read, 1, Role.STANDARD, "buffer-4", 1);
        add(read, 2, Role.SAMPLE, "26329-0001-X", 1);
        add(read, 3, Role.SAMPLE, "26329-0002-X", 10);
        assertEquals(List.of(), ReadAsOrdered.of(ORDER, read.build(), false).differences());
        assertEquals(
                List.of(new ReadAsOrdered.Difference(4, "verification buffer-7", "nothing")),
                ReadAsOrdered.of(ORDER, read.build(), true).differences());
    }

    @Test
    void anotherSoilAnotherRoleAnotherDilutionAGapAndMoreThanOrderedAreTold() {
        Readings.Builder read = Readings.builder();
        add(read, 1, Role.VERIFICATION, "buffer-4", 1);
        add(read, 3, Role.SAMPLE, "26329-0002-X", 1);
        add(read, 4, Role.SAMPLE, "26329-0003-X", 1);
        add(read, 5, Role.SAMPLE, "26329-0004-X", 1);
        assertEquals(
                List.of(
                        new ReadAsOrdered.Difference(1, "standard buffer-4", "verification buffer-4"),
                        new ReadAsOrdered.Difference(2, "sample 26329-0001-X", "nothing"),
                        new ReadAsOrdered.Difference(3, "sample 26329-0002-X, diluted 10 times", "sample 26329-0002-X"),
                        new ReadAsOrdered.Difference(4, "verification buffer-7", "sample 26329-0003-X"),
                        new ReadAsOrdered.Difference(5, "nothing", "sample 26329-0004-X")),
                ReadAsOrdered.of(ORDER, read.build(), true).differences());
    }

    @Test
    void positionsOfAnOrderCountUpFromOne() {
        assertThrows(
                IllegalArgumentException.class,
                () -> new RunOrder("a", "b", "c", AT, List.of(new RunOrder.Place(2, Role.SAMPLE, "26329-0001-X"))));
        assertThrows(IllegalArgumentException.class, () -> new RunOrder.Place(1, Role.SAMPLE, "x", 0.5, false));
    }

    private static void add(Readings.Builder to, int position, Role role, String identity, double dilution) {
        to.add(position, role, identity, "", "pH", 7, Unit.MILLIVOLT, AT, dilution);
    }
}
