package org.tenmesh.proof.browser;

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
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.Treatment;
import org.tenmesh.store.custody.Papers;

/** An invented list of areas with one county, and an invented permit for its soil: dry heat of 121 °C for two hours. */
final class InventedPapers {
    private InventedPapers() {}

    /** Both are in force from the day on. */
    static void sign(Papers papers, LocalDate day, Instant at) {
        papers.draft(
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
                        List.of(),
                        "nowhere",
                        day.minusDays(10),
                        day.plusDays(50)),
                0,
                "for tests",
                "test",
                at);
        papers.sign(Papers.Kind.AREAS, "Invented areas", 1, day, day, "test", at);
        papers.draft(
                new Permit(
                        Permit.Kind.PERMIT,
                        "P-1",
                        "an invented authority",
                        "an invented laboratory",
                        "1 Invented Road",
                        List.of(),
                        Set.of("Invented areas"),
                        Set.of(Permit.Analysis.CHEMICAL, Permit.Analysis.PHYSICAL),
                        OptionalLong.of(2000),
                        false,
                        day.minusYears(1),
                        Optional.empty(),
                        day.plusYears(1),
                        60,
                        OptionalInt.of(180),
                        OptionalInt.of(3),
                        List.of(new Treatment(
                                "dry heat",
                                List.of(new Treatment.Limit(121, Duration.ofHours(2))),
                                true,
                                Duration.ofMinutes(10),
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
                at);
        papers.sign(Papers.Kind.PERMIT, "P-1", 1, day, day, "test", at);
    }
}
