package org.tenmesh.core.lookback;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.derived.DerivedSoils;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.Holds;
import org.tenmesh.core.desk.ReadElsewhere;
import org.tenmesh.core.equipment.Act;
import org.tenmesh.core.equipment.Equipment;
import org.tenmesh.core.equipment.Hold;
import org.tenmesh.core.equipment.Register;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.made.MadeSoil;
import org.tenmesh.core.made.MadeSubmission;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.methods.Source;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Rounding;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;

/** Two days of which a person can see what must come out: soils are numbered by when they were read. */
class LookBackTest {
    private static final Scope ICP1 = new Scope(Scope.Kind.INSTRUMENT, "ICP1");
    private static final String METHOD = "invented-method";

    private static final Source PRACTICE = new Source("common practice", Source.Standing.COMMON_PRACTICE);
    private static final MethodBook METHODS = MethodBook.shipping(new IgnitionMethod(
            new Method.Head(
                    METHOD,
                    MadeDay.DATE,
                    "P",
                    "",
                    List.of(),
                    List.of(new Analyte(
                            "P",
                            "loss on ignition",
                            Unit.PERCENT,
                            new Rounding(1),
                            OptionalDouble.of(0.05),
                            OptionalDouble.empty(),
                            5,
                            0.1,
                            0,
                            10)),
                    List.of(),
                    ""),
            105,
            1,
            360,
            14,
            5,
            2,
            10,
            95,
            10,
            0.3,
            new IgnitionMethod.Regression(MadeDay.DATE, 1, 0, PRACTICE)));

    private final List<ControlValue> controls = new ArrayList<>();
    private final List<GateOutcome> gates = new ArrayList<>();
    private final List<Run> runs = new ArrayList<>();
    private final List<Result> results = new ArrayList<>();
    private final List<Release> releases = new ArrayList<>();
    private final List<ReadElsewhere> elsewhere = new ArrayList<>();
    private Register register = Register.NONE;

    private static Instant at(String time) {
        return Instant.parse("2026-11-25T" + time + ":00Z");
    }

    /** A run of soils; a {@code +} is an open control soil that passed, {@code -} one that failed, {@code h} a hidden one that passed. */
    private void run(String name, String instrument, String start, String reads) {
        MadeRun made = MadeRun.of(name, METHOD)
                .instrument(instrument)
                .operator("B. Tansy")
                .startedAt(OffsetDateTime.parse("2026-11-25T" + start + ":00Z"));
        OffsetDateTime clock = OffsetDateTime.parse("2026-11-25T" + start + ":00Z");
        for (String one : reads.split(" ")) {
            clock = clock.plusMinutes(1);
            boolean open = one.equals("+") || one.equals("-");
            boolean hidden = one.startsWith("h");
            LabNumber number = open ? MadeDay.lab(900) : MadeDay.lab(Integer.parseInt(one.replace("h", "")));
            made.at(open ? Role.CONTROL : Role.SAMPLE, open ? "CS" : number.text())
                    .clock(clock)
                    .read("signal", 1, Unit.PER_SECOND);
            if (open || hidden) {
                controls.add(new ControlValue(
                        name,
                        METHOD,
                        made.position(),
                        hidden ? number.text() : "CS",
                        hidden,
                        "CS",
                        "P",
                        10,
                        0,
                        one.equals("-") ? List.of("beyond 3 sd") : List.of()));
            }
            if (!open) {
                results.add(new Result(
                        number,
                        METHOD,
                        MadeDay.DATE,
                        "P",
                        name,
                        made.position(),
                        "",
                        new Amount.Measured(20, Unit.MILLIGRAM_PER_KILOGRAM),
                        "20",
                        OptionalDouble.of(1),
                        Verdict.FIT,
                        List.of()));
            }
        }
        runs.add(made.run());
    }

    private void gate(String run, boolean open, String time) {
        gates.add(new GateOutcome(
                "ICP1", run, Gate.OWN_CONTROL, open, "", "", OffsetDateTime.parse("2026-11-25T" + time + ":00Z")));
    }

    private Desk desk() {
        MadeDay day = MadeDay.empty()
                .submission(MadeSubmission.named("S1"))
                .submission(MadeSubmission.named("S2"))
                .runs(runs);
        for (int serial = 1; serial <= 12; serial++) {
            day.soil(MadeSoil.numbered(MadeDay.lab(serial)).of(serial <= 6 ? "S1" : "S2", serial));
        }
        return new Desk(
                "2026-11-25",
                1,
                day.day(),
                new JudgedDay(results, List.of(), gates, controls),
                METHODS,
                releases,
                List.of(),
                LocalDate.of(2026, 11, 25),
                elsewhere,
                List.of(),
                new DerivedSoils(),
                new Holds(register, List.of(), List.of()));
    }

    private LookBack look(Scope scope, String time, boolean whole) {
        return LookBack.of(scope, at(time), whole, List.of(LookBack.Part.of(scope, desk())));
    }

    private static List<Integer> serials(LookBack look) {
        return look.soils().stream()
                .map(number -> Integer.parseInt(number.text().substring(6, 10)))
                .sorted()
                .toList();
    }

    @Test
    void goesFromTheLastGoodControlBeforeToTheNextGoodOneAfter() {
        run("R1", "ICP1", "09:00", "1 + 2 3 - 4 5 + 6");
        run("R2", "ICP2", "09:00", "7 8");
        LookBack look = look(ICP1, "09:05", false);
        assertThat(serials(look)).containsExactly(2, 3, 4, 5);
        assertThat(look.since().orElseThrow().where()).contains("position 2 of run R1");
        assertThat(look.next().orElseThrow().where()).contains("position 8 of run R1");
        assertThat(look.spans()).containsExactly(new Hold.Span("2026-11-25", "R1", 3, 7));
        assertThat(look.results()).isEqualTo(4);
        assertThat(look.submissions()).containsExactly("S1");
    }

    @Test
    void goesOnIntoLaterRunsAndEarlierOnesOfTheSameInstrumentAndNoOther() {
        run("R1", "ICP1", "09:00", "1 + 2");
        run("R2", "ICP2", "09:30", "+ 7");
        run("R3", "ICP1", "10:00", "3 4 - 5");
        assertThat(serials(look(ICP1, "10:03", false))).containsExactly(2, 3, 4, 5);
        assertThat(serials(look(new Scope(Scope.Kind.PERSON, "B. Tansy"), "10:03", false)))
                .containsExactly(3, 4, 5, 7);
        assertThat(serials(look(new Scope(Scope.Kind.METHOD, METHOD), "10:03", true)))
                .containsExactly(1, 2, 3, 4, 5, 7);
    }

    @Test
    void doesNotLetAHiddenControlDecideWhereItBegins() {
        run("R1", "ICP1", "09:00", "+ 1 h2 3 - 4");
        LookBack look = look(ICP1, "09:05", false);
        assertThat(serials(look)).containsExactly(1, 2, 3, 4);
        assertThat(look.since().orElseThrow().where()).contains("position 1 ");
        // The hidden control is held with the others, so that the list of positions has no gap.
        assertThat(look.spans()).containsExactly(new Hold.Span("2026-11-25", "R1", 2, 6));
    }

    @Test
    void takesTheGatesOfARunForGoodWhereAllOfThemAreOpen() {
        run("R1", "ICP1", "09:00", "1 2 3 4");
        gate("R1", true, "09:02");
        assertThat(serials(look(ICP1, "10:00", false))).containsExactly(3, 4);
        gate("R1", false, "09:03");
        LookBack look = look(ICP1, "10:00", false);
        assertThat(look.since()).isEmpty();
        assertThat(serials(look)).containsExactly(1, 2, 3, 4);
        assertThat(LookBack.Part.of(ICP1, desk()).reaches(at("10:00"))).isFalse();
    }

    @Test
    void goesByTheChecksOfEquipmentThatHasThem() {
        run("R1", "OM1", "09:00", "1 + 2 + 3");
        Equipment balance = new Equipment(
                "B2",
                Equipment.Kind.BALANCE,
                "",
                "OM1",
                "",
                List.of(new Equipment.Due(
                        "10 g",
                        OptionalInt.of(1),
                        Optional.empty(),
                        OptionalDouble.empty(),
                        OptionalDouble.empty(),
                        "g")),
                "A",
                at("08:00"));
        register = Register.of(
                List.of(),
                List.of(balance),
                List.of(check(1, balance, "09:01", true), check(2, balance, "09:30", false)),
                List.of());
        LookBack look = look(new Scope(Scope.Kind.EQUIPMENT, "B2"), "09:30", false);
        assertThat(serials(look)).containsExactly(2, 3);
        assertThat(look.since().orElseThrow().where()).contains("the check 10 g that passed");
    }

    private static Act check(long number, Equipment of, String time, boolean passed) {
        return new Act(
                number,
                of.thing(),
                Act.What.CHECKED,
                "10 g",
                OptionalDouble.empty(),
                passed,
                "",
                at(time),
                "A",
                at(time));
    }

    @Test
    void namesTheReportsThatAreOutWithWhatItTouches() {
        run("R1", "ICP1", "09:00", "1 + 2 3");
        run("R2", "ICP2", "09:00", "7");
        release("S1", 1, 2, "20");
        release("S1", 2, 2, "");
        release("S2", 1, 7, "20");
        LookBack look = look(ICP1, "10:00", false);
        assertThat(look.reports()).as("held back in the newest revision").isEmpty();
        release("S1", 3, 2, "20");
        assertThat(look(ICP1, "10:00", false).reports()).singleElement().satisfies(report -> {
            assertThat(report.submission()).isEqualTo("S1");
            assertThat(report.revision()).isEqualTo(3);
            assertThat(report.results()).isEqualTo(1);
        });
    }

    private void release(String submission, int revision, int serial, String reported) {
        releases.add(new Release(
                submission,
                revision,
                "Q",
                OffsetDateTime.parse("2026-11-25T17:00:00Z"),
                "made up",
                List.of(new ReleasedResult(
                        MadeDay.lab(serial),
                        METHOD,
                        "2026-11-25",
                        "P",
                        OptionalDouble.empty(),
                        "mg/kg",
                        reported,
                        "",
                        reported.isEmpty() ? "under review" : ""))));
    }

    /** A soil of the day before whose redo was read on this one: its report stands on the day before. */
    @Test
    void namesTheReportOfAnEarlierDayWithWhatWasReadAgain() {
        run("R1", "ICP1", "09:00", "+ 1 2");
        release("S1", 2, 1, "20");
        LookBack.Part before = LookBack.Part.ofReports(desk());
        releases.clear();
        LookBack.Part now = LookBack.Part.of(ICP1, desk());
        LookBack.Part dayBefore = new LookBack.Part("2026-11-24", before.goods(), before.runs(), before.outs());
        LookBack look = LookBack.of(ICP1, at("10:00"), false, List.of(now, dayBefore));
        assertThat(look.reports()).singleElement().satisfies(report -> {
            assertThat(report.day()).isEqualTo("2026-11-24");
            assertThat(report.submission()).isEqualTo("S1");
            assertThat(report.results()).isEqualTo(1);
        });
        // One that was signed before the reading does not hold it.
        LookBack.Out out = before.outs().get(0);
        Release early = new Release(
                out.release().submission(),
                out.release().revision(),
                "Q",
                OffsetDateTime.parse("2026-11-25T08:00:00Z"),
                "made up",
                out.release().results());
        LookBack.Part signedBefore =
                new LookBack.Part("2026-11-24", List.of(), List.of(), List.of(new LookBack.Out(early, out.client())));
        assertThat(LookBack.of(ICP1, at("10:00"), false, List.of(now, signedBefore))
                        .reports())
                .isEmpty();
    }

    @Test
    void listsAReportForItsRevisionWhereAnotherDayReadTheSoilAgain() {
        run("R1", "ICP1", "09:00", "1 2");
        release("S1", 1, 1, "20");
        Hold hold = new Hold(
                1,
                "instrument ICP1",
                "the pump leaked",
                List.of(new Hold.Span("2026-11-26", "R7", 3, 3)),
                "Q",
                at("18:00"),
                Optional.empty());
        assertThat(ReIssue.of(hold, desk(), METHODS)).isEmpty();
        Result first = results.get(0);
        elsewhere.add(new ReadElsewhere(
                "2026-11-26",
                List.of(MadeRun.of("2026-11-26 R7", METHOD)
                        .instrument("ICP1")
                        .startedAt(OffsetDateTime.parse("2026-11-26T09:00:00Z"))
                        .run()),
                List.of(new Result(
                        first.labNumber(),
                        METHOD,
                        MadeDay.DATE,
                        "P",
                        "2026-11-26 R7",
                        3,
                        "",
                        first.amount(),
                        "20",
                        OptionalDouble.of(1),
                        Verdict.FIT,
                        List.of())),
                List.of()));
        assertThat(ReIssue.of(hold, desk(), METHODS))
                .extracting(ReIssue::submission)
                .containsExactly("S1");
    }

    @Test
    void holdsWhatItListed() {
        run("R1", "ICP1", "09:00", "1 + 2 3");
        LookBack look = look(ICP1, "10:00", false);
        Hold hold = new Hold(1, look.about(), "the pump leaked", look.spans(), "Q", at("11:00"), Optional.empty());
        assertThat(Hold.held(List.of(hold), "2026-11-25", results))
                .extracting(Result::verdict)
                .containsExactly(Verdict.FIT, Verdict.HOLD, Verdict.HOLD);
        assertThat(Hold.held(List.of(hold), "2026-11-24", results)).isEqualTo(results);
        Hold lifted = new Hold(
                1,
                look.about(),
                "the pump leaked",
                look.spans(),
                "Q",
                at("11:00"),
                Optional.of(new Hold.Lifted("read again", "Q", at("12:00"))));
        assertThat(Hold.held(List.of(lifted), "2026-11-25", results)).isEqualTo(results);
    }
}
