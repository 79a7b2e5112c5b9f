package org.tenmesh.core.bench;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import org.junit.jupiter.api.Test;

class RackTest {
    private static final Instant AT = Instant.parse("2026-11-25T08:00:00Z");
    private static final Duration FOUR = Duration.ofHours(4);
    private final List<BenchAct> acts = new ArrayList<>();

    private BenchAct note(
            Subject subject,
            String step,
            BenchAct.What what,
            String about,
            double hours,
            Map<Measure, Double> measured) {
        Instant at = AT.plusSeconds(Math.round(hours * 3600));
        BenchAct act = new BenchAct(
                "act-" + acts.size(), subject, step, what, about, "", "B. Tansy", "tablet", at, at, measured);
        acts.add(act);
        return act;
    }

    private void load(String submission, int first, int last, int place, boolean regulated) {
        note(
                Subject.rack("R1"),
                "",
                BenchAct.What.LOADED,
                submission,
                0,
                Map.of(
                        Measure.FIRST_BAG, (double) first,
                        Measure.LAST_BAG, (double) last,
                        Measure.PLACE, (double) place,
                        Measure.REGULATED, regulated ? 1.0 : 0.0));
    }

    private void weigh(int place, double hours, double massG) {
        note(
                Subject.rack("R1"),
                "",
                BenchAct.What.WEIGHED,
                "",
                hours,
                Map.of(Measure.PLACE, (double) place, Measure.MASS_G, massG));
    }

    private Rack.Dryness dryness() {
        return Rack.of(acts).dryness(5, FOUR);
    }

    @Test
    void aRackKnowsWhatLiesWhereAndRefusesPlacesAndBagsThatAreTaken() {
        load("SUB-1", 1, 12, 1, false);
        Rack rack = Rack.of(acts);
        assertThat(rack.regulated()).isFalse();
        assertThat(rack.refusal(new Rack.Load("SUB-2", 1, 4, 12, false), Optional.empty())
                        .orElseThrow())
                .contains("Places 12 to 15 are not free", "SUB-1 lies on 1 to 12");
        assertThat(rack.refusal(new Rack.Load("SUB-1", 12, 13, 20, false), Optional.empty())
                        .orElseThrow())
                .contains("lie on it already");
        assertThat(rack.refusal(new Rack.Load("SUB-2", 1, 4, 13, false), Optional.empty()))
                .isEmpty();
        assertThat(rack.refusal(new Rack.Load("SUB-3", 1, 4, 13, true), Optional.empty())
                        .orElseThrow())
                .contains("another rack");
        assertThatThrownBy(() -> new Rack.Load("SUB-1", 4, 3, 1, false)).hasMessageContaining("bags 4 to 3");
    }

    @Test
    void aRackBeginsAnewAfterItsLayoutAndRegulatedSoilIsRememberedUntilItIsCleaned() {
        load("SUB-1", 1, 3, 1, true);
        note(Subject.rack("R1"), "rack.layout", BenchAct.What.DONE, "", 1, Map.of());
        acts.set(
                1,
                new BenchAct(
                        "act-1",
                        Subject.rack("R1"),
                        "rack." + org.tenmesh.core.methods.BenchStep.Doing.LAY_OUT.word(),
                        BenchAct.What.DONE,
                        "",
                        "",
                        "B. Tansy",
                        "tablet",
                        AT.plusSeconds(3600),
                        AT.plusSeconds(3600)));
        Rack rack = Rack.of(Rack.round(acts));
        assertThat(rack.loads()).isEmpty();
        assertThat(rack.regulated()).isFalse();
        Rack.Load ordinary = new Rack.Load("SUB-2", 1, 3, 1, false);
        assertThat(rack.refusal(ordinary, Cleanliness.uncleaned(acts)).orElseThrow())
                .contains("cleaning is not noted");
        assertThat(rack.refusal(new Rack.Load("SUB-2", 1, 3, 1, true), Cleanliness.uncleaned(acts)))
                .as("regulated after regulated")
                .isEmpty();
        note(Subject.rack("R1"), "", BenchAct.What.CLEANED, "", 2, Map.of());
        assertThat(rack.refusal(ordinary, Cleanliness.uncleaned(acts))).isEmpty();
    }

    @Test
    void aSoilIsDryWhenItLosesNoMoreThanTheLimitInADay() {
        assertThat(dryness()).isEqualTo(Rack.Dryness.NOT_WEIGHED);
        weigh(1, 0, 110);
        assertThat(dryness()).isEqualTo(Rack.Dryness.NOT_WEIGHED);
        weigh(1, 3.9, 108);
        assertThat(dryness()).as("nearer than four hours").isEqualTo(Rack.Dryness.NOT_WEIGHED);
        weigh(1, 12, 100);
        assertThat(dryness()).as("8 % in 8 h").isEqualTo(Rack.Dryness.NOT_DRY);
        weigh(1, 36, 95.239);
        assertThat(dryness()).as("4.761 g of 95.239 g in 24 h: 4.999 %").isEqualTo(Rack.Dryness.DRY);
        weigh(1, 60, 90.703);
        assertThat(dryness()).as("4.536 g of 90.703 g in 24 h: 5.001 %").isEqualTo(Rack.Dryness.NOT_DRY);
        weigh(1, 84, 90.5);
        weigh(2, 84, 50);
        assertThat(dryness()).as("one place was weighed once").isEqualTo(Rack.Dryness.NOT_WEIGHED);
        weigh(2, 108, 60);
        assertThat(dryness()).isEqualTo(Rack.Dryness.GAINED);
    }

    /** A tablet that runs six hours ahead says six hours later what was weighed now. */
    @Test
    void aTabletWhoseClockRunsAheadMakesNothingDryEarlier() {
        weigh(1, 0, 100);
        Instant now = AT.plus(Duration.ofMinutes(10));
        acts.add(new BenchAct(
                "ahead",
                Subject.rack("R1"),
                "",
                BenchAct.What.WEIGHED,
                "",
                "",
                "B. Tansy",
                "tablet",
                now.plus(Duration.ofHours(6)),
                now,
                Map.of(Measure.PLACE, 1.0, Measure.MASS_G, 99.9)));
        assertThat(dryness()).isEqualTo(Rack.Dryness.NOT_WEIGHED);
        weigh(1, 4.2, 99.8);
        assertThat(dryness()).isEqualTo(Rack.Dryness.DRY);
    }

    @Test
    void coarseFragmentsAreAShareOfWhatWasSieved() {
        BenchAct note = note(
                Subject.rack("R1"),
                "",
                BenchAct.What.COARSE,
                "",
                0,
                Map.of(Measure.PLACE, 4.0, Measure.MASS_G, 400.0, Measure.COARSE_G, 50.0));
        assertThat(Rack.coarsePct(note)).isCloseTo(12.5, within(1e-12));
        assertThatThrownBy(
                        () -> note(Subject.rack("R1"), "", BenchAct.What.WEIGHED, "", 0, Map.of(Measure.MASS_G, -1.0)))
                .hasMessageContaining("mass-g");
    }

    @Test
    void aMillIsCleanWhenNoRegulatedSoilCameAfterItsLastCleaningByTheClocksOfTheDevices() {
        Random random = new Random(7);
        for (int i = 0; i < 500; i++) {
            acts.clear();
            double lastRegulated = -1;
            double lastCleaned = -1;
            Set<Double> used = new HashSet<>();
            for (int k = 0; k < 8; k++) {
                // Notes come in any order: what decides is when it was done.
                double hour = random.nextInt(100) + random.nextInt(1000) / 1000.0;
                if (!used.add(hour)) {
                    continue;
                }
                switch (random.nextInt(3)) {
                    case 0 -> {
                        note(Subject.equipment("M1"), "", BenchAct.What.CLEANED, "", hour, Map.of());
                        lastCleaned = Math.max(lastCleaned, hour);
                    }
                    case 1 -> {
                        note(
                                Subject.rack("R1"),
                                Rack.GRIND,
                                BenchAct.What.DONE,
                                "M1",
                                hour,
                                Map.of(Measure.REGULATED, 1.0));
                        lastRegulated = Math.max(lastRegulated, hour);
                    }
                    default -> note(Subject.rack("R2"), Rack.GRIND, BenchAct.What.DONE, "M1", hour, Map.of());
                }
            }
            assertThat(Cleanliness.uncleaned(acts).isPresent())
                    .as("case %d: %s", i, acts)
                    .isEqualTo(lastRegulated > lastCleaned);
        }
    }

    @Test
    void whatBecameRegulatedInAMillStaysRegulatedOnItsRack() {
        load("SUB-1", 1, 3, 1, false);
        note(Subject.rack("R1"), Rack.GRIND, BenchAct.What.DONE, "M1", 1, Map.of(Measure.REGULATED, 1.0));
        assertThat(Rack.of(acts).regulated()).isTrue();
        note(Subject.rack("R1"), "", BenchAct.What.TAKEN_BACK, "act-1", 2, Map.of());
        assertThat(Rack.of(acts).regulated()).isFalse();
    }

    @Test
    void hasOneNameHoweverItsLabelWasTyped() {
        for (String typed : List.of("R17", "R-17", "R-017", "R0017", "R-000017")) {
            assertThat(Subject.rack(typed).code()).as(typed).isEqualTo("R-017");
        }
        assertThat(Subject.rack("R-01234").code()).isEqualTo("R-1234");
        for (String asItStands : List.of("R-000", "R-1234", "R-999999", "R-1234567", "R-", "r-17", "R 17", "XR-017")) {
            assertThat(Subject.rack(asItStands).code()).isEqualTo(asItStands);
        }
        assertThat(Subject.equipment("R17").code()).isEqualTo("R17");
    }
}
