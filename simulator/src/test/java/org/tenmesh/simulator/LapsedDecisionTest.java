package org.tenmesh.simulator;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.LocalDate;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.ResultKey;
import org.tenmesh.core.derived.DerivedSoils;
import org.tenmesh.core.desk.Acted;
import org.tenmesh.core.desk.Action;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.faults.Fault;

/** A decision is about what was seen: when a run is added, it never moves to other soils. */
class LapsedDecisionTest {
    private static final MethodBook METHODS = MethodFiles.shipped();
    private static final Instant AT = Instant.parse("2026-11-25T13:00:00Z");
    private static final Day WHOLE = Simulator.simulate(Scenario.of(7, 600, LocalDate.of(2026, 11, 25))
                    .with(Fault.parse("neighbours-exchanged@ICP1-01,fields=different"))
                    .with(Fault.parse("neighbours-exchanged@ICP1-01,fields=different"))
                    .with(Fault.parse("neighbours-exchanged@ICP1-01,fields=different")))
            .day();
    private static final Day MORNING = without("om-loi-360");
    private static final JudgedDay BEFORE = DayJudge.judge(MORNING, METHODS);
    private static final JudgedDay AFTER = DayJudge.judge(WHOLE, METHODS);

    private static Day without(String method) {
        return MadeDay.like(WHOLE)
                .runs(WHOLE.runs().stream()
                        .filter(run -> !run.method().equals(method))
                        .toList())
                .day();
    }

    private static final LocalDate TODAY = LocalDate.of(2026, 11, 25);

    private static Desk desk(Day day, JudgedDay judged, Grounds grounds, Action action) {
        Acted acted = new Acted("2026-11-25", grounds, action, "seen", "T. Byrne", AT);
        return new Desk(
                "2026-11-25",
                1,
                day,
                judged,
                METHODS,
                List.of(),
                List.of(acted),
                TODAY,
                List.of(),
                List.of(),
                new DerivedSoils());
    }

    /** What is fit because somebody accepted it. */
    private static Set<ResultKey> madeFit(Desk desk) {
        Set<ResultKey> fit = new HashSet<>();
        IntStream.range(0, desk.judged().results().size())
                .filter(i -> desk.judged().results().get(i).verdict() != Verdict.FIT
                        && desk.ruled().results().get(i).verdict() == Verdict.FIT)
                .forEach(i -> fit.add(ResultKey.of(desk.judged().results().get(i))));
        return fit;
    }

    @Test
    void makesNothingElseFitWhenARunIsAdded() {
        List<Cause> exchanged = BEFORE.causes().stream()
                .filter(cause -> cause.kind() == CauseKind.NEIGHBOURS_EXCHANGED)
                .toList();
        assertThat(exchanged).hasSizeGreaterThanOrEqualTo(2);
        for (Cause cause : exchanged) {
            Set<ResultKey> looked = madeFit(desk(MORNING, BEFORE, Grounds.of(cause), Action.ACCEPT));
            assertThat(looked).isNotEmpty().isSubsetOf(cause.touched());

            Desk after = desk(WHOLE, AFTER, Grounds.of(cause), Action.ACCEPT);

            assertThat(looked).containsAll(madeFit(after));
            boolean asItWas = AFTER.causes().stream().anyMatch(Grounds.of(cause)::hold);
            assertThat(after.lapsed()).hasSize(asItWas ? 0 : 1);
            assertThat(madeFit(after).isEmpty()).isEqualTo(!asItWas);
        }
    }

    @Test
    void lapsesWhenTheEvidenceIsOtherAlthoughTheCauseTouchesTheSame() {
        Cause cause = BEFORE.causes().get(0);
        Grounds earlier = new Grounds(cause.id(), "0".repeat(64), cause.run(), "Something else.", cause.samples());

        Desk desk = desk(MORNING, BEFORE, earlier, Action.ACCEPT);

        assertThat(madeFit(desk)).isEmpty();
        assertThat(desk.decision(cause.id())).isEmpty();
        assertThat(desk.lapsed())
                .singleElement()
                .satisfies(lapsed ->
                        assertThat(lapsed.changed()).isEqualTo("The evidence is other now: " + cause.evidence()));
    }

    @Test
    void appliesNothingThatWasStoredUnderAnOrdinal() {
        Grounds ordinal = new Grounds("ICP1-01.neighbours-exchanged.1", "", "", "", 0);

        Desk desk = desk(MORNING, BEFORE, ordinal, Action.ACCEPT);

        assertThat(madeFit(desk)).isEmpty();
        assertThat(desk.lapsed())
                .singleElement()
                .satisfies(lapsed -> assertThat(lapsed.changed()).startsWith("It was stored by a version before 0.2"));
    }

    @Test
    void keepsTheKeysOfWhatTheAddedRunDoesNotConcern() {
        Set<String> after = new HashSet<>();
        AFTER.causes().forEach(cause -> after.add(cause.id()));
        assertThat(BEFORE.causes())
                .filteredOn(cause -> cause.log10Odds().isEmpty() || cause.kind() == CauseKind.NEIGHBOURS_EXCHANGED)
                .filteredOn(cause ->
                        AFTER.causes().stream().anyMatch(one -> one.touched().equals(cause.touched())))
                .isNotEmpty()
                .allSatisfy(cause -> assertThat(after).contains(cause.id()));
    }

    @Test
    void keepsAGateShutWhenWhatItWasShutForChanges() {
        Cause cause = BEFORE.causes().stream()
                .filter(one -> one.kind() == CauseKind.NEIGHBOURS_EXCHANGED)
                .findFirst()
                .orElseThrow();
        Grounds earlier = new Grounds(cause.id(), "0".repeat(64), cause.run(), "Something else.", cause.samples());
        String instrument = desk(MORNING, BEFORE, earlier, Action.SHUT_GATE).instrumentOf(cause.run());
        Acted shut = new Acted("2026-11-25", earlier, Action.SHUT_GATE, "seen", "T. Byrne", AT);
        Acted opened = new Acted("2026-11-25", earlier, Action.OPEN_GATE, "", "T. Byrne", AT.plusSeconds(60));
        Acted openedNow =
                new Acted("2026-11-25", Grounds.of(cause), Action.OPEN_GATE, "", "T. Byrne", AT.plusSeconds(90));

        assertThat(gate(instrument, shut)).isPresent();
        assertThat(gate(instrument, shut, opened)).isPresent();
        assertThat(gate(instrument, shut, opened, openedNow)).isEmpty();
    }

    private static Optional<Acted> gate(String instrument, Acted... acted) {
        return new Desk(
                        "2026-11-25",
                        1,
                        MORNING,
                        BEFORE,
                        METHODS,
                        List.of(),
                        List.of(acted),
                        TODAY,
                        List.of(),
                        List.of(),
                        new DerivedSoils())
                .shutByHand(instrument);
    }
}
