package org.tenmesh.web;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Set;
import org.tenmesh.core.custody.Area;
import org.tenmesh.core.custody.AreaList;
import org.tenmesh.core.custody.Charge;
import org.tenmesh.core.custody.Origin;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.Treatment;
import org.tenmesh.store.custody.LedgerBook;
import org.tenmesh.store.custody.Papers;
import org.tenmesh.store.custody.Seen;

/** A parcel of the first tray of a made-up day, under an invented permit. */
final class InventedCustody {
    private static final LocalDate DAY = LocalDate.of(2026, 11, 25);
    private static final Instant AT = Instant.parse("2026-11-25T08:00:00Z");

    private InventedCustody() {}

    static void fill(MemoryCustody custody, InventedDay invented) {
        custody.draft(
                new AreaList(
                        "Invented areas",
                        "an invented authority",
                        "an invented ant",
                        "an invented rule",
                        Set.of("US"),
                        false,
                        List.of(new Area(
                                "US",
                                List.of("Tennessee", "TN"),
                                List.of("Hardeman"),
                                Optional.empty(),
                                Optional.empty(),
                                "")),
                        List.of(new Area(
                                "US", List.of("Iowa", "IA"), List.of(), Optional.empty(), Optional.empty(), "")),
                        "nowhere",
                        DAY.minusDays(10),
                        DAY.plusDays(50)),
                0,
                "for tests",
                "test",
                AT);
        custody.sign(Papers.Kind.AREAS, "Invented areas", 1, DAY, DAY, "test", AT);
        custody.draft(
                new Permit(
                        Permit.Kind.PERMIT,
                        "P-1",
                        "an invented authority",
                        "an invented laboratory",
                        "1 Invented Road",
                        List.of(),
                        Set.of("Invented areas"),
                        Set.of(Permit.Analysis.CHEMICAL, Permit.Analysis.PHYSICAL),
                        OptionalLong.empty(),
                        false,
                        DAY.minusYears(1),
                        Optional.empty(),
                        DAY.plusYears(1),
                        60,
                        OptionalInt.of(180),
                        OptionalInt.empty(),
                        List.of(new Treatment(
                                "dry heat",
                                List.of(new Treatment.Limit(121, Duration.ofHours(2))),
                                true,
                                Duration.ofMinutes(30),
                                Set.of(),
                                List.of("trays at most 5 cm deep"),
                                "invented permit, condition 7")),
                        "REGULATED SOIL",
                        "boil",
                        List.of(),
                        "the invented permit officer"),
                0,
                "for tests",
                "test",
                AT);
        custody.sign(Papers.Kind.PERMIT, "P-1", 1, DAY, DAY, "test", AT);
        custody.receive(
                new LedgerBook.Received(
                        "first",
                        "SUB-2201",
                        Origin.written(Optional.of("US"), List.of("TN", "Hardeman")),
                        "an invented list",
                        custody.signedPermits().get(0),
                        OptionalLong.of(9000),
                        12,
                        "dry",
                        "dock"),
                DAY,
                "test",
                AT);
        invented.day().trays().get(0).wells().stream()
                .flatMap(well -> well.labNumber().stream())
                .forEach(lab -> custody.seen.add(new Seen(
                        "R1",
                        lab.text(),
                        DAY,
                        List.of(
                                new Seen.ReadBy("ph-water-1-1", "PH1-01", AT),
                                new Seen.ReadBy("mehlich3-icp", "ICP1-01", AT)),
                        List.of())));
        custody.open(
                new Charge(
                        "C1",
                        "oven 2",
                        "P-1",
                        1,
                        custody.signedPermits().get(0).paper().treatments().get(0),
                        List.of("middle", "door"),
                        0.5,
                        "test",
                        AT),
                DAY);
    }
}
