package org.tenmesh.app.laboratory;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Set;
import org.tenmesh.core.custody.AreaList;
import org.tenmesh.core.custody.Areas;
import org.tenmesh.core.custody.Origin;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.Permits;
import org.tenmesh.core.custody.Treatment;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.store.Store;
import org.tenmesh.store.custody.LedgerBook;
import org.tenmesh.store.custody.Papers;

/**
 * What the invented laboratory has signed about regulated soil, and the parcels of its day in the account. No authority made these papers: soil
 * from the laboratory's own country is ordinary by them, any other is regulated, and dry heat destroys it.
 */
final class InventedPapers {
    private static final String AREAS = "Foreign soil (invented)";
    private static final String PERMIT = "INV-1";
    private static final String OWN_COUNTRY = "IE";
    private static final long MOST_GRAMS = 50_000;
    private static final int GRAMS_A_BAG = 250;

    private InventedPapers() {}

    /**
     * Signs both papers, and receives the regulated submissions of the day.
     *
     * @param signer the permit officer
     * @param dock who received the parcels
     */
    static void sign(Store store, Day day, String signer, String dock, LocalDate today, Instant at) {
        Papers papers = store.papers();
        papers.draft(
                new AreaList(
                        AREAS,
                        "an invented authority",
                        "foreign soil",
                        "an invented rule",
                        Set.of(OWN_COUNTRY),
                        true,
                        List.of(),
                        List.of(),
                        "nowhere: made for this demonstration",
                        today.minusDays(10),
                        today.plusDays(50)),
                0,
                "for the demonstration",
                signer,
                at);
        papers.sign(Papers.Kind.AREAS, AREAS, 1, today, today, signer, at);
        papers.draft(
                new Permit(
                        Permit.Kind.PERMIT,
                        PERMIT,
                        "an invented authority",
                        day.laboratory().name(),
                        "Ashgrove (an invented place)",
                        List.of(),
                        Set.of(AREAS),
                        Set.of(Permit.Analysis.CHEMICAL, Permit.Analysis.PHYSICAL),
                        OptionalLong.of(MOST_GRAMS),
                        false,
                        today.minusYears(1),
                        Optional.empty(),
                        today.plusYears(1),
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
                        signer + ", permit officer (invented)"),
                0,
                "for the demonstration",
                signer,
                at);
        papers.sign(Papers.Kind.PERMIT, PERMIT, 1, today, today, signer, at);
        for (Submission submission : day.submissions()) {
            int bags = (int) day.soils().stream()
                    .filter(soil -> soil.submission()
                            .filter(submission.submission()::equals)
                            .isPresent())
                    .map(Soil::regulated)
                    .filter(regulated -> regulated.orElse(false))
                    .count();
            if (bags > 0) {
                receive(store, submission, bags, dock, today, at);
            }
        }
    }

    private static void receive(
            Store store, Submission submission, int bags, String dock, LocalDate today, Instant at) {
        Origin origin = Origin.written(
                submission.originCountry(), submission.originRegion().stream().toList());
        String because = Areas.inForce(store.papers().signedAreas(), today)
                .lookUp(origin)
                .words();
        store.ledger()
                .receive(
                        new LedgerBook.Received(
                                "dock-" + submission.submission(),
                                submission.submission(),
                                origin,
                                because,
                                Permits.inForce(store.papers().signedPermits(), today).permits().stream()
                                        .filter(one -> one.name().equals(PERMIT))
                                        .findFirst()
                                        .orElseThrow(),
                                OptionalLong.of((long) bags * GRAMS_A_BAG),
                                bags,
                                "sound",
                                "dock"),
                        today,
                        dock,
                        at);
    }
}
