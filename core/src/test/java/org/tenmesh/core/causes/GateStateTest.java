package org.tenmesh.core.causes;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.derived.DerivedSoils;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.GateState;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/** The gates of an instrument go by what was checked last; runs of which a person can see what must come out. */
class GateStateTest {
    private static GateState state(Bench bench, Map<LabNumber, String> controls) {
        Run run = bench.run();
        Day day = Bench.day(controls, List.of(), run);
        Desk desk = new Desk(
                "a day",
                1,
                day,
                DayJudge.judge(day, Bench.METHODS),
                Bench.METHODS,
                List.of(),
                List.of(),
                LocalDate.of(2026, 11, 30),
                List.of(),
                List.of(),
                new DerivedSoils());
        return desk.gateState(day.runs().get(0));
    }

    private static Bench start() {
        return new Bench("icp-1", Bench.ICP).icpStart();
    }

    @Test
    void isOpenWhereEverythingPassed() {
        GateState state = state(start().soils(1, 20).icp(Role.VERIFICATION, "QC", 10, 20), Map.of());
        assertThat(state.isOpen()).isTrue();
        assertThat(state.since()).isEmpty();
    }

    @Test
    void aCheckIntervalThatFailedLastShuts() {
        // 8.5 of 10 mg/L of P, 10 % either way allowed, at position 29; K passes there.
        GateState state = state(start().soils(1, 20).icp(Role.VERIFICATION, "QC", 8.5, 20), Map.of());
        assertThat(state.atTheStart()).allMatch(GateOutcome::open);
        assertThat(state.isOpen()).isFalse();
        assertThat(state.shut()).containsExactly(Gate.KNOWN_SOLUTIONS);
        GateState.Since since = state.since(Gate.KNOWN_SOLUTIONS).orElseThrow();
        assertThat(since.failed()).isTrue();
        assertThat(since.decides().analyte()).isEqualTo("P");
        assertThat(since.decides().identity()).isEqualTo("QC");
        assertThat(since.decides().position()).isEqualTo(29);
        assertThat(since.at()).isAfter(state.run().startedAt());
    }

    @Test
    void aLaterOneThatPassesOpensAgainAndOneThatFailsOnceMoreShuts() {
        Bench bench = start().soils(1, 10).icp(Role.VERIFICATION, "QC", 8.5, 20).soils(11, 5);
        bench.icp(Role.VERIFICATION, "QC", 10, 20);
        GateState passed = state(bench, Map.of());
        assertThat(passed.isOpen()).isTrue();
        assertThat(passed.since(Gate.KNOWN_SOLUTIONS).orElseThrow().failed()).isFalse();
        assertThat(passed.since(Gate.KNOWN_SOLUTIONS).orElseThrow().decides().position())
                .isEqualTo(25);
        GateState again = state(bench.soils(16, 5).icp(Role.VERIFICATION, "QC", 10, 24), Map.of());
        assertThat(again.shut()).containsExactly(Gate.KNOWN_SOLUTIONS);
        assertThat(again.since(Gate.KNOWN_SOLUTIONS).orElseThrow().decides().analyte())
                .isEqualTo("K");
    }

    @Test
    void anotherAnalyteThatPassesDoesNotOpen() {
        // P fails first and is never right again, K fails later and comes back.
        Bench bench = start().soils(1, 5).icp(Role.VERIFICATION, "QC", 8.5, 20).soils(6, 5);
        bench.icp(Role.VERIFICATION, "QC", 8.5, 24).soils(11, 5).icp(Role.VERIFICATION, "QC", 8.5, 20);
        GateState state = state(bench, Map.of());
        assertThat(state.shut()).containsExactly(Gate.KNOWN_SOLUTIONS);
        assertThat(state.since(Gate.KNOWN_SOLUTIONS).orElseThrow().decides().analyte())
                .isEqualTo("P");
    }

    @Test
    void aBlankAndAnOpenControlShutTheirOwnGates() {
        Bench bench = start().soils(1, 5).icp(Role.BLANK, "BLANK", 1, 0).icp(Role.CONTROL, "LOAM", 3, 22);
        bench.soils(6, 5).icp(Role.VERIFICATION, "QC", 10, 20);
        GateState state = state(bench, Map.of());
        assertThat(state.shut()).containsExactly(Gate.BLANK, Gate.OWN_CONTROL);
        assertThat(state.since(Gate.OWN_CONTROL).orElseThrow().decides().identity())
                .isEqualTo("LOAM");
    }

    @Test
    void aHiddenControlShutsWithoutBeingNamedUntilOneAfterItPasses() {
        Map<LabNumber, String> controls = Map.of(Bench.lab(7), "LOAM", Bench.lab(14), "LOAM");
        Bench bench = start().soils(1, 6);
        bench.icp(Role.SAMPLE, Bench.lab(7).text(), 3, 22).soils(8, 6);
        GateState state = state(bench, controls);
        assertThat(state.shut()).containsExactly(Gate.OWN_CONTROL);
        Measure decides = state.since(Gate.OWN_CONTROL).orElseThrow().decides();
        assertThat(decides.position()).isZero();
        assertThat(decides.identity()).isEmpty();
        bench.icp(Role.SAMPLE, Bench.lab(14).text(), 3, 15).soils(15, 3).icp(Role.VERIFICATION, "QC", 10, 20);
        assertThat(state(bench, controls).shut()).isEmpty();
    }

    @Test
    void whatACheckBeforeTheFirstSoilShutALaterOneOpens() {
        Bench bench = new Bench("icp-1", Bench.ICP);
        bench.icp(Role.STANDARD, "WS1", 0, 0).icp(Role.STANDARD, "WS2", 2, 4);
        bench.icp(Role.STANDARD, "WS4", 10, 20).icp(Role.STANDARD, "WS6", 50, 100);
        bench.icp(Role.VERIFICATION, "QC", 8.5, 20).icp(Role.BLANK, "BLANK", 0, 0);
        bench.icp(Role.CONTROL, "LOAM", 3, 15).soils(1, 10);
        assertThat(state(bench, Map.of()).shut()).containsExactly(Gate.KNOWN_SOLUTIONS);
        assertThat(state(bench, Map.of()).since()).isEmpty();
        bench.icp(Role.VERIFICATION, "QC", 10, 20);
        assertThat(state(bench, Map.of()).isOpen()).isTrue();
    }
}
