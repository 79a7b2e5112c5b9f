package org.tenmesh.core.equipment;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeLaboratory;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

class RegisterTest {
    private static final ZoneId ZONE = ZoneId.of("Europe/Dublin");
    private static final Instant LONG_AGO = Instant.parse("2026-01-02T08:00:00Z");
    private static final LocalDate DAY = MadeDay.DATE;

    private final List<Lot> lots = new ArrayList<>();
    private final List<Equipment> equipment = new ArrayList<>();
    private final List<Act> acts = new ArrayList<>();
    private final List<Use> uses = new ArrayList<>();

    private Register register() {
        return Register.of(lots, equipment, acts, uses);
    }

    private Thing lot(String name, Lot.Kind kind, String standsFor, String expires, int daysOpen, String... madeFrom) {
        Lot lot = new Lot(
                name,
                kind,
                standsFor,
                "",
                "invented supplier",
                List.of(),
                LocalDate.of(2026, 1, 2),
                expires.isEmpty() ? Optional.empty() : Optional.of(LocalDate.parse(expires)),
                daysOpen == 0 ? OptionalInt.empty() : OptionalInt.of(daysOpen),
                List.of(madeFrom),
                "A. Bench",
                LONG_AGO);
        lots.add(lot);
        return lot.thing();
    }

    private Thing balance(OptionalInt every, String by) {
        Equipment one = new Equipment(
                "B2",
                Equipment.Kind.BALANCE,
                "",
                "OM1",
                "2",
                List.of(new Equipment.Due(
                        "10 g",
                        every,
                        by.isEmpty() ? Optional.empty() : Optional.of(LocalDate.parse(by)),
                        OptionalDouble.of(9.998),
                        OptionalDouble.of(10.002),
                        "g")),
                "A. Bench",
                LONG_AGO);
        equipment.add(one);
        return one.thing();
    }

    private void note(Thing thing, Act.What what, String about, String at, boolean passed) {
        acts.add(new Act(
                acts.size() + 1,
                thing,
                what,
                about,
                OptionalDouble.empty(),
                passed,
                what.needsReason() ? "a reason" : "",
                Instant.parse(at),
                "A. Bench",
                Instant.parse(at)));
    }

    private List<Finding.Wrong> wrong(Thing thing, String at) {
        return register().findings(thing, Instant.parse(at), ZONE).stream()
                .map(Finding::wrong)
                .toList();
    }

    @Test
    void letsALotBeUsedOnItsLastDayAndNotAfterInTheZoneOfTheLaboratory() {
        Thing buffer = lot("B7", Lot.Kind.BUFFER, "pH 7", "2026-07-10", 0);
        assertThat(wrong(buffer, "2026-07-10T22:59:59Z")).isEmpty();
        // 23:00 UTC is midnight in summer time.
        assertThat(wrong(buffer, "2026-07-10T23:00:00Z")).containsExactly(Finding.Wrong.EXPIRED);
    }

    @Test
    void countsDaysFromTheFirstOpeningAndTakesTheEarlierEnd() {
        Thing buffer = lot("B7", Lot.Kind.BUFFER, "pH 7", "2026-12-31", 30);
        assertThat(wrong(buffer, "2026-12-30T12:00:00Z")).isEmpty();
        note(buffer, Act.What.OPENED, "", "2026-11-01T09:00:00Z", true);
        note(buffer, Act.What.OPENED, "", "2026-11-20T09:00:00Z", true);
        assertThat(wrong(buffer, "2026-12-01T12:00:00Z")).isEmpty();
        assertThat(wrong(buffer, "2026-12-02T12:00:00Z")).containsExactly(Finding.Wrong.EXPIRED);
        // Before it was opened nothing was open.
        assertThat(register()
                        .lastDay(lots.get(0), Instant.parse("2026-10-31T12:00:00Z"), ZONE)
                        .orElseThrow()
                        .day())
                .isEqualTo(LocalDate.of(2026, 12, 31));
    }

    @Test
    void endsAPreparationWithTheFirstOfItsPartsToExpire() {
        lot("ACID-1", Lot.Kind.REAGENT, "acetic acid", "2026-09-30", 0);
        lot("STOCK-1", Lot.Kind.REAGENT, "stock", "2027-06-30", 0, "ACID-1");
        Thing extractant = lot("M3-44", Lot.Kind.EXTRACTANT, "Mehlich 3", "2027-01-31", 0, "STOCK-1");
        assertThat(wrong(extractant, "2026-09-30T12:00:00Z")).isEmpty();
        List<Finding> found = register().findings(extractant, Instant.parse("2026-10-01T12:00:00Z"), ZONE);
        assertThat(found)
                .extracting(Finding::says)
                .containsExactly("made from lot ACID-1, which expired on 2026-09-30");
        assertThat(register().madeFrom(lots.get(0))).extracting(Lot::name).containsExactly("STOCK-1", "M3-44");
    }

    @Test
    void isOverdueFromTheDayAfterAndNoMoreOnceACheckPassed() {
        Thing balance = balance(OptionalInt.of(7), "2026-11-10");
        assertThat(wrong(balance, "2026-11-10T20:00:00Z")).isEmpty();
        assertThat(wrong(balance, "2026-11-11T08:00:00Z")).containsExactly(Finding.Wrong.OVERDUE);
        note(balance, Act.What.CHECKED, "10 g", "2026-11-12T08:00:00Z", true);
        // It passed: what was weighed while the check was overdue is good.
        assertThat(wrong(balance, "2026-11-11T08:00:00Z")).isEmpty();
        assertThat(wrong(balance, "2026-11-19T08:00:00Z")).isEmpty();
        assertThat(wrong(balance, "2026-11-20T08:00:00Z")).containsExactly(Finding.Wrong.OVERDUE);
    }

    @Test
    void asksForTheFirstCheckFromTheDayOfRegistrationWhereNoDateIsGiven() {
        Thing balance = balance(OptionalInt.of(7), "");
        assertThat(wrong(balance, "2026-01-02T20:00:00Z")).isEmpty();
        assertThat(wrong(balance, "2026-01-03T20:00:00Z")).containsExactly(Finding.Wrong.OVERDUE);
    }

    @Test
    void holdsEverythingBetweenTheCheckThatPassedBeforeAndTheOneThatPassesAfterAFailure() {
        Thing balance = balance(OptionalInt.of(7), "");
        note(balance, Act.What.CHECKED, "10 g", "2026-11-20T08:00:00Z", true);
        note(balance, Act.What.CHECKED, "10 g", "2026-11-24T08:00:00Z", false);
        note(balance, Act.What.CHECKED, "10 g", "2026-11-25T08:00:00Z", true);
        assertThat(wrong(balance, "2026-11-20T07:59:00Z")).isEmpty();
        assertThat(wrong(balance, "2026-11-22T08:00:00Z")).containsExactly(Finding.Wrong.CHECK_FAILED);
        assertThat(wrong(balance, "2026-11-24T18:00:00Z")).containsExactly(Finding.Wrong.CHECK_FAILED);
        assertThat(wrong(balance, "2026-11-25T08:00:00Z")).isEmpty();
    }

    @Test
    void forgetsWhatWasTakenBack() {
        Thing balance = balance(OptionalInt.of(7), "");
        note(balance, Act.What.CHECKED, "10 g", "2026-11-24T08:00:00Z", false);
        note(balance, Act.What.CHECKED, "10 g", "2026-11-24T08:01:00Z", true);
        note(balance, Act.What.OUT_OF_SERVICE, "", "2026-11-24T09:00:00Z", true);
        assertThat(wrong(balance, "2026-11-24T10:00:00Z")).containsExactly(Finding.Wrong.OUT_OF_SERVICE);
        note(balance, Act.What.TAKEN_BACK, "3", "2026-11-24T11:00:00Z", true);
        assertThat(wrong(balance, "2026-11-24T10:00:00Z")).isEmpty();
        assertThat(register().noted(balance)).hasSize(4);
    }

    @Test
    void putsEquipmentBackInService() {
        Thing balance = balance(OptionalInt.of(700), "2027-01-01");
        note(balance, Act.What.OUT_OF_SERVICE, "", "2026-11-24T09:00:00Z", true);
        note(balance, Act.What.BACK_IN_SERVICE, "", "2026-11-24T12:00:00Z", true);
        assertThat(wrong(balance, "2026-11-24T10:00:00Z")).containsExactly(Finding.Wrong.OUT_OF_SERVICE);
        assertThat(wrong(balance, "2026-11-24T12:00:00Z")).isEmpty();
        assertThat(register().refuses("OM1", Instant.parse("2026-11-24T10:00:00Z"), ZONE, Policy.defaults()))
                .hasSize(1);
        assertThat(register().refuses("PH1", Instant.parse("2026-11-24T10:00:00Z"), ZONE, Policy.defaults()))
                .isEmpty();
        assertThat(register()
                        .refuses(
                                "OM1",
                                Instant.parse("2026-11-24T10:00:00Z"),
                                ZONE,
                                Policy.defaults().with(Setting.EQUIPMENT_OUT_OF_SERVICE, 1)))
                .isEmpty();
    }

    @Test
    void knowsTheLotOfARunOnlyWhereSomebodySaidIt() {
        Thing old = lot("K1-OLD", Lot.Kind.STANDARD, "K1", "", 0);
        Thing fresh = lot("K1-NEW", Lot.Kind.STANDARD, "K1", "", 0);
        note(old, Act.What.TAKEN_INTO_USE, "", "2026-11-01T08:00:00Z", true);
        note(fresh, Act.What.TAKEN_INTO_USE, "", "2026-11-25T10:00:00Z", true);
        Run run = run();
        UsedInRun used = UsedInRun.of(register(), "2026-11-25", Map.of(), run, false);
        assertThat(used.used()).extracting(UsedInRun.One::thing).containsExactly(old);
        assertThat(used.notKnown()).containsExactly("K2");

        note(old, Act.What.USED_UP, "", "2026-11-24T08:00:00Z", true);
        assertThat(UsedInRun.of(register(), "2026-11-25", Map.of(), run, false).notKnown())
                .containsExactly("K1", "K2");
    }

    @Test
    void holdsTheSoilsOfTheTrayForWhichAnExpiredLotWasNotedAndNoOthers() {
        Thing extractant = lot("M3-44", Lot.Kind.EXTRACTANT, "Mehlich 3", "2026-11-20", 0);
        uses.add(new Use(
                1,
                extractant,
                Use.Place.TRAY,
                "2026-11-25",
                "T1",
                "",
                MadeDay.MORNING.minusHours(2).toInstant(),
                "A. Bench",
                LONG_AGO));
        Run run = run();
        HeldByThings held =
                HeldByThings.of(register(), List.of(), "2026-11-25", day(run, Policy.defaults()), any -> true);
        assertThat(held.of("R1").orElseThrow().notKnown()).contains("extractant of 1 of 2 soils");
        List<Result> results = held.held(List.of(result(1, "1"), result(2, "1")));
        assertThat(results.get(0).verdict()).isEqualTo(Verdict.HOLD);
        assertThat(results.get(0).causes()).containsExactly("lot@M3-44");
        assertThat(results.get(1).verdict()).isEqualTo(Verdict.FIT);

        // The policy may only warn, and a person may let them stand, for what was wrong then.
        Policy warns = Policy.defaults().with(Setting.LOT_EXPIRED, 0);
        assertThat(HeldByThings.of(register(), List.of(), "2026-11-25", day(run, warns), any -> true)
                        .held(List.of(result(1, "1")))
                        .get(0)
                        .verdict())
                .isEqualTo(Verdict.FIT);
        LetStand stands = new LetStand(1, extractant, "2026-11-25", "expired on 2026-11-20", "titrated", "Q", LONG_AGO);
        LetStand ofSomethingElse =
                new LetStand(2, extractant, "2026-11-25", "expired on 2026-11-01", "titrated", "Q", LONG_AGO);
        assertThat(letStand(run, stands)).isEqualTo(Verdict.FIT);
        assertThat(letStand(run, ofSomethingElse)).isEqualTo(Verdict.HOLD);
    }

    private Verdict letStand(Run run, LetStand one) {
        return HeldByThings.of(register(), List.of(one), "2026-11-25", day(run, Policy.defaults()), any -> true)
                .held(List.of(result(1, "1")))
                .get(0)
                .verdict();
    }

    @Test
    void holdsTheReadingsOfOneBalanceAndNotOfItsNeighbour() {
        balance(OptionalInt.of(7), "2026-11-10");
        Run run = run();
        HeldByThings held =
                HeldByThings.of(register(), List.of(), "2026-11-25", day(run, Policy.defaults()), any -> false);
        assertThat(held.held(List.of(result(1, "1"), result(2, "2"))))
                .extracting(Result::verdict)
                .containsExactly(Verdict.FIT, Verdict.HOLD);
    }

    @Test
    void refusesWhatCannotBe() {
        assertThatThrownBy(() -> lot("A/B", Lot.Kind.BUFFER, "pH 7", "", 0)).hasMessageContaining("without / and @");
        assertThatThrownBy(() -> lot("B7", Lot.Kind.BUFFER, "pH 7", "2025-12-31", 0))
                .hasMessageContaining("before it was received");
        assertThatThrownBy(() -> lot("B7", Lot.Kind.BUFFER, "pH 7", "", 0, "B7"))
                .hasMessageContaining("made from itself");
        Thing lot = lot("B7", Lot.Kind.BUFFER, "pH 7", "", 0);
        assertThatThrownBy(() -> note(lot, Act.What.OUT_OF_SERVICE, "", "2026-11-24T09:00:00Z", true))
                .hasMessageContaining("cannot be out of service");
        assertThat(Thing.ofKey("lot@B7")).contains(lot);
        assertThat(Thing.ofKey("drift@ICP1-01#x")).isEmpty();
    }

    private static Run run() {
        return MadeRun.of("R1", "om-loi-360")
                .instrument("OM1")
                .at(Role.STANDARD, "K1")
                .read("dry", 1, Unit.GRAM)
                .at(Role.VERIFICATION, "K2")
                .read("dry", 1, Unit.GRAM)
                .at(Role.SAMPLE, MadeDay.lab(1).text())
                .read("dry", 1, Unit.GRAM)
                .at(Role.SAMPLE, MadeDay.lab(2).text())
                .read("dry", 1, Unit.GRAM)
                .run();
    }

    private static Day day(Run run, Policy policy) {
        return MadeDay.empty()
                .laboratory(MadeLaboratory.ashgrove().policy(policy).laboratory())
                .tray(MadeDay.tray("T1", List.of(MadeDay.lab(1))))
                .tray(MadeDay.tray("T2", List.of(MadeDay.lab(2))))
                .run(run)
                .day();
    }

    private static Result result(int serial, String channel) {
        LabNumber number = MadeDay.lab(serial);
        return new Result(
                number,
                "om-loi-360",
                DAY,
                "OM",
                "R1",
                serial + 2,
                channel,
                new Amount.Measured(4.2, Unit.PERCENT),
                "4.2",
                OptionalDouble.of(0.1),
                Verdict.FIT,
                List.of());
    }
}
