package org.tenmesh.core.custody;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.Measure;
import org.tenmesh.core.bench.Met;
import org.tenmesh.core.bench.Rack;
import org.tenmesh.core.bench.Subject;

/** Masses by hand: what a balance would show, in whole grams. */
final class PreparedTest {
    private static final Instant NINE = Instant.parse("2026-11-25T09:00:00Z");

    private final List<BenchAct> acts = new ArrayList<>();

    private BenchAct note(
            Subject subject, String step, BenchAct.What what, String about, int minute, Map<Measure, Double> measured) {
        Instant at = NINE.plus(Duration.ofMinutes(minute));
        BenchAct act =
                new BenchAct("n" + acts.size(), subject, step, what, about, "", "A. Bench", "tablet", at, at, measured);
        acts.add(act);
        return act;
    }

    private void load(String rack, String submission, int place, int bags, boolean regulated, int minute) {
        note(
                Subject.rack(rack),
                "",
                BenchAct.What.LOADED,
                submission,
                minute,
                Map.of(
                        Measure.FIRST_BAG,
                        1.0,
                        Measure.LAST_BAG,
                        (double) bags,
                        Measure.PLACE,
                        (double) place,
                        Measure.REGULATED,
                        regulated ? 1.0 : 0.0));
    }

    private BenchAct grind(String rack, String mill, int minute) {
        return note(Subject.rack(rack), Rack.GRIND, BenchAct.What.DONE, mill, minute, Map.of());
    }

    private void weigh(String rack, int place, double massG, int minute) {
        note(
                Subject.rack(rack),
                "",
                BenchAct.What.WEIGHED,
                "",
                minute,
                Map.of(Measure.PLACE, (double) place, Measure.MASS_G, massG));
    }

    private BenchAct sieve(String rack, int place, double coarseG, int minute) {
        return note(
                Subject.rack(rack),
                "",
                BenchAct.What.COARSE,
                "",
                minute,
                Map.of(Measure.PLACE, (double) place, Measure.MASS_G, 500.0, Measure.COARSE_G, coarseG));
    }

    private static Parcel parcel(boolean weighed) {
        return new Parcel(
                "R1",
                "S-1",
                new Origin(Optional.of("KE"), List.of("Nakuru")),
                "an invented list",
                "P-1",
                1,
                LocalDate.of(2026, 11, 25),
                Optional.empty(),
                "dry",
                weighed);
    }

    private static List<Move> received(long massMg) {
        return List.of(new Move(
                "1",
                Move.What.RECEIVED,
                "R1",
                "R1",
                PortionKind.PARCEL,
                "",
                "dock",
                massMg,
                2,
                "",
                "",
                "D. Dock",
                NINE));
    }

    private Ledger after(Parcel parcel, List<Move> before) {
        List<Move> all = new ArrayList<>(before);
        all.addAll(Prepared.lines(acts, List.of(parcel), before, NINE.plus(Duration.ofHours(9))));
        Ledger ledger = Ledger.of(all);
        assertThat(ledger.faults()).isEmpty();
        assertThat(ledger.balance().exact()).isTrue();
        assertThat(Prepared.lacking(acts, List.of(parcel), all)).isEmpty();
        assertThat(Prepared.lines(acts, List.of(parcel), all, NINE))
                .as("nothing is posted twice")
                .isEmpty();
        return ledger;
    }

    @Test
    void whatWasReceivedIsWhatLiesSomewhereAndWhatGrindingTookAway() {
        load("R9", "S-1", 1, 2, true, 0);
        weigh("R9", 1, 500, 10);
        weigh("R9", 2, 400, 11);
        sieve("R9", 1, 40, 20);
        grind("R9", "M1", 30);
        weigh("R9", 1, 452, 40);
        weigh("R9", 2, 400, 41);
        // Weighed once more: what it lost since is no loss of grinding.
        weigh("R9", 1, 451, 50);
        assertThat(Prepared.lacking(acts, List.of(parcel(true)), received(900_000)))
                .extracting(Prepared::words)
                .containsExactly(
                        "rejects of the sieve of submission S-1, rack R-009",
                        "dust of submission S-1, rack R-009",
                        "soil lost in grinding of submission S-1, rack R-009");
        Ledger ledger = after(parcel(true), received(900_000));
        assertThat(ledger.portion("R1.rejects").orElseThrow().massMg()).isEqualTo(40_000);
        assertThat(ledger.portion("R1.dust").orElseThrow().place()).isEqualTo("mill M1");
        Balance balance = ledger.balance("R1");
        assertThat(balance.groundAwayMg()).isEqualTo(8_000);
        assertThat(ledger.portion("R1").orElseThrow().massMg()).isEqualTo(852_000);
        assertThat(balance.gonePct()).isEqualTo(100.0 * 8 / 900);
    }

    @Test
    void soilThatWasNotWeighedIsKeptByPiecesAndTheNoteSaysTheMass() {
        load("R9", "S-1", 1, 2, true, 0);
        sieve("R9", 1, 40, 20);
        Ledger ledger = after(parcel(false), received(0));
        assertThat(ledger.portion("R1.rejects").orElseThrow().massMg()).isZero();
        assertThat(ledger.portion("R1.rejects").orElseThrow().pieces()).isEqualTo(1);
    }

    @Test
    void moreThanTheAccountHasIsNeverRefused() {
        load("R9", "S-1", 1, 2, true, 0);
        sieve("R9", 1, 40, 20);
        Ledger ledger = after(parcel(true), received(30_000));
        assertThat(ledger.portion("R1.rejects").orElseThrow().massMg()).isEqualTo(40_000);
        assertThat(ledger.balance("R1").differenceMg()).isEqualTo(-10_000);
    }

    @Test
    void aNoteThatIsTakenBackTakesItsLineBack() {
        load("R9", "S-1", 1, 2, true, 0);
        weigh("R9", 1, 500, 10);
        BenchAct wrong = sieve("R9", 1, 40, 20);
        List<Move> all = new ArrayList<>(received(900_000));
        all.addAll(Prepared.lines(acts, List.of(parcel(true)), all, NINE));
        note(Subject.rack("R9"), "", BenchAct.What.TAKEN_BACK, wrong.id(), 25, Map.of());
        sieve("R9", 1, 4, 26);
        Ledger ledger = after(parcel(true), all);
        assertThat(ledger.portion("R1.rejects").orElseThrow().state()).isEqualTo(Held.State.MISTAKEN);
        assertThat(ledger.portion("R1.rejects-2").orElseThrow().massMg()).isEqualTo(4_000);
        assertThat(ledger.portion("R1").orElseThrow().massMg()).isEqualTo(896_000);
    }

    @Test
    void whatMetRegulatedSoilIsFoundWhicheverNoteCameFirst() {
        load("R9", "S-1", 1, 2, true, 0);
        load("R5", "S-2", 1, 2, false, 1);
        load("R6", "S-3", 1, 2, false, 2);
        load("R7", "S-4", 1, 2, false, 3);
        sieve("R5", 1, 40, 20);
        grind("R9", "M1", 30);
        BenchAct first = grind("R5", "M1", 40);
        // S-3 was ground in another mill by the soil that met it: what met regulated soil passes it on.
        grind("R5", "M2", 45);
        BenchAct second = grind("R6", "M2", 50);
        note(Subject.equipment("M1"), "", BenchAct.What.CLEANED, "", 55, Map.of());
        grind("R7", "M1", 60);
        for (int i = 0; i < 20; i++) {
            assertThat(Met.of(acts)).extracting(Met::ground).containsExactly(first, second);
            Collections.rotate(acts, 1);
        }
        assertThat(Met.of(acts).get(0).because())
                .isEqualTo("Ground on rack R-005 in mill M1, which was not cleaned after regulated soil of rack R-009");
        assertThat(Prepared.of(acts))
                .as("rejects that were thrown away before were ordinary")
                .extracting(one -> one.kind() + " " + one.submission())
                .doesNotContain("REJECTS S-2")
                .contains("DUST S-2", "DUST S-3")
                .doesNotContain("DUST S-4");
    }

    @Test
    void aRackThatWasLaidOutBegunAnewIsNotTheOneBefore() {
        load("R5", "S-2", 1, 2, false, 0);
        grind("R5", "M1", 10);
        note(Subject.rack("R5"), "rack.lay-out", BenchAct.What.DONE, "", 20, Map.of());
        load("R9", "S-1", 1, 2, true, 30);
        grind("R9", "M1", 40);
        load("R5", "S-5", 1, 2, false, 50);
        grind("R5", "M1", 60);
        assertThat(Met.of(acts))
                .singleElement()
                .satisfies(met -> assertThat(met.round().loads())
                        .extracting(Rack.Load::submission)
                        .containsExactly("S-5"));
    }
}
