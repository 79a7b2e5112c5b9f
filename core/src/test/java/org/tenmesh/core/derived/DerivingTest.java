package org.tenmesh.core.derived;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.Story;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.formula.NoSenseException;
import org.tenmesh.core.formula.Operation;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeLaboratory;
import org.tenmesh.core.made.MadeSoil;
import org.tenmesh.core.methods.Advice;
import org.tenmesh.core.methods.Computed;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Step;

/** What holds a derived result, what it needs, who asks for it, and how it is told. */
class DerivingTest {
    private static Result only(List<Result> results, String analyte) {
        return results.stream()
                .filter(result -> result.analyte().equals(analyte))
                .findFirst()
                .orElseThrow();
    }

    private static List<Result> with(Result other) {
        List<Result> all = new ArrayList<>(Sums.standard());
        all.removeIf(one -> one.method().equals(other.method()) && one.analyte().equals(other.analyte()));
        all.add(other);
        return all;
    }

    private static List<Result> without(String method) {
        return Sums.standard().stream()
                .filter(result -> !result.method().equals(method))
                .toList();
    }

    private static Soil soil(String wanted) {
        return MadeSoil.numbered(Sums.LAB).asking(wanted).soil();
    }

    private static Day asking(TestPackage.Asked... asked) {
        return Sums.day(List.of(soil("p")), List.of(new TestPackage("p", "P", List.of(asked))));
    }

    @Test
    void sortsByLabNumberMethodAndAnalyteAndComesFromNoRun() {
        List<Result> derived = Deriving.of(Sums.day(), Sums.standard(), Sums.METHODS);

        assertThat(derived).extracting(Result::analyte).containsExactly("CEC", "K_x", "K_sat");
        assertThat(derived).allMatch(r -> r.run().isEmpty() && r.position() == 0 && !r.unread());
    }

    @Test
    void aHeldInputHoldsWhatRestsOnItAndNothingElse() {
        Result held = Sums.result(
                Sums.LAB, "bph", "BpH", new Amount.Measured(6.5, Unit.PH), 0.1, Verdict.REDO, "run.drift.1");

        List<Result> derived = Deriving.of(Sums.day(), with(held), Sums.METHODS);

        assertThat(only(derived, "K_x").verdict()).isEqualTo(Verdict.FIT);
        for (String analyte : List.of("CEC", "K_sat")) {
            assertThat(only(derived, analyte).verdict()).isEqualTo(Verdict.HOLD);
            assertThat(only(derived, analyte).causes()).containsExactly("run.drift.1");
        }
    }

    @Test
    void whatRestsOnAnAcceptedInputIsAcceptedToo() {
        Result accepted =
                Sums.result(Sums.LAB, "bph", "BpH", new Amount.Measured(6.5, Unit.PH), 0.1, Verdict.FIT, "run.drift.1");

        List<Result> derived = Deriving.of(Sums.day(), with(accepted), Sums.METHODS);

        assertThat(only(derived, "K_x").isAccepted()).isFalse();
        for (String analyte : List.of("CEC", "K_sat")) {
            assertThat(only(derived, analyte).verdict()).isEqualTo(Verdict.FIT);
            assertThat(only(derived, analyte).causes()).containsExactly("run.drift.1");
            assertThat(only(derived, analyte).isAccepted()).isTrue();
        }
    }

    @Test
    void aBranchNotTakenNeedsNoValueAndHoldsNothing() {
        Day day = asking(new TestPackage.Asked("cec", List.of()));
        List<Result> neutral = new ArrayList<>(without("bph"));
        neutral.removeIf(result -> result.method().equals("ph"));
        neutral.add(Sums.measured("ph", "pH", 7.4, 0.1, Unit.PH));

        assertThat(only(Deriving.of(day, neutral, Sums.METHODS), "CEC").amount())
                .isInstanceOf(Amount.Measured.class);
        Result acid = only(Deriving.of(day, without("bph"), Sums.METHODS), "CEC");
        assertThat(acid.amount()).isInstanceOf(Amount.Missing.class);
        assertThat(((Amount.Missing) acid.amount()).reason()).isEqualTo("not read yet: BpH (bph)");
        assertThat(acid.verdict()).isEqualTo(Verdict.HOLD);
    }

    @Test
    void anInputWithoutNumberGivesNoNumberAndItsName() {
        Unit unit = Unit.MILLIGRAM_PER_KILOGRAM;
        Map<Amount, String> reasons = Map.of(
                new Amount.Above(500, 600, unit), "K (icp) is above its range",
                new Amount.Saturated(unit), "K (icp) saturated the detector",
                new Amount.Missing("no reading", unit), "K (icp): no reading");
        reasons.forEach((amount, reason) -> {
            Result input = Sums.result(Sums.LAB, "icp", "K", amount, 0, Verdict.FIT);
            Amount derived = only(Deriving.of(Sums.day(), with(input), Sums.METHODS), "CEC")
                    .amount();
            assertThat(derived).isEqualTo(new Amount.Missing(reason, Unit.CENTIMOLE_PER_KILOGRAM));
        });
        Result little = Sums.result(Sums.LAB, "icp", "K", new Amount.NotEnoughSoil(unit), 0, Verdict.FIT);
        Result sum = only(Deriving.of(Sums.day(), with(little), Sums.METHODS), "CEC");
        assertThat(sum.reported()).isEqualTo("not enough soil");
        assertThat(sum.verdict()).isEqualTo(Verdict.FIT);
    }

    private static final Unit MG_PER_KG = Unit.MILLIGRAM_PER_KILOGRAM;

    private static Result below(String analyte, double limit) {
        return Sums.result(Sums.LAB, "icp", analyte, new Amount.Below(limit, 3, MG_PER_KG), 0, Verdict.FIT);
    }

    @Test
    void whatCanBeNothingStaysALimitThroughEveryStep() {
        List<Result> derived = Deriving.of(Sums.day(), with(below("K", 10)), Sums.METHODS);

        // 10 / 390.98 = 0.0256; as a share of 7.485 + 2.057 + 0.026 + 6 it is 0.164 %: both rounded up.
        assertThat(only(derived, "K_x").reported()).isEqualTo("< 0.03");
        assertThat(only(derived, "K_sat").reported()).isEqualTo("< 0.2");
        assertThat(only(derived, "K_x").amount().raw()).isEqualTo(5 / 390.98);
        assertThat(only(derived, "K_x").expandedUncertainty()).isEmpty();
        assertThat(only(derived, "K_x").verdict()).isEqualTo(Verdict.FIT);
    }

    /** Half the limit enters a sum, with limit / sqrt(12) of an even distribution from 0 to the limit (JCGM 100:2008, 4.3.7). */
    @Test
    void aSumWithAPartBelowItsLimitIsANumberWhoseUncertaintyCoversThatPart() {
        Result cec = only(Deriving.of(Sums.day(), with(below("K", 10)), Sums.METHODS), "CEC");

        double half = 5 / 390.98;
        assertThat(cec.amount().raw()).isCloseTo(1500 / 200.4 + 250 / 121.53 + half + 6, within(1e-12));
        double squares = Math.pow(60 / 200.4, 2)
                + Math.pow(12 / 121.53, 2)
                + Math.pow(12 * 0.08, 2)
                + Math.pow(2 * half / Math.sqrt(3), 2);
        assertThat(cec.expandedUncertainty().orElseThrow()).isCloseTo(Math.sqrt(squares), within(1e-12));
    }

    @Test
    void aQuotientByWhatMayBeNothingHasALowerEndOrNone() {
        DerivedMethod quotient = new DerivedMethod(
                Sums.head("q", Sums.analyte("q", Unit.ONE, 0), Sums.analyte("more", Unit.ONE, 0)),
                List.of(Sums.input("a", "icp", "Ca", "mg/kg"), Sums.input("b", "icp", "Mg", "mg/kg")),
                List.of(),
                List.of(),
                List.of(
                        Sums.computed("q", Sums.of(Operation.DIVIDE, Sums.name("a"), Sums.name("b"))),
                        new Computed(
                                "more",
                                Optional.empty(),
                                List.of(
                                        new Computed.Class(
                                                "much",
                                                Sums.of(Operation.MORE, Sums.name("q"), new Formula.Number(310))),
                                        new Computed.Class(
                                                "some",
                                                Sums.of(Operation.MORE, Sums.name("q"), new Formula.Number(0)))),
                                OptionalDouble.empty(),
                                OptionalDouble.empty())),
                Optional.empty());
        MethodBook methods = MethodBook.shipping(quotient);
        List<Result> one = Deriving.of(Sums.day(), with(below("Mg", 10)), methods);
        List<Result> both = new ArrayList<>(with(below("Mg", 10)));
        both.removeIf(result -> result.analyte().equals("Ca"));
        both.add(below("Ca", 20));

        assertThat(only(one, "q").reported()).isEqualTo("> 150");
        // From 150 upward it may be either.
        assertThat(only(one, "more").reported()).isEqualTo("much or some");
        assertThat(only(Deriving.of(Sums.day(), both, methods), "q").amount())
                .isEqualTo(
                        new Amount.Missing("with Ca (icp) and Mg (icp) below the limit it can be anything", Unit.ONE));
    }

    @Test
    void aWordStandsInPlaceOfANumberUnderItsCondition() {
        DerivedMethod lime = new DerivedMethod(
                Sums.head("lime", Sums.analyte("lime", Unit.PH, 1)),
                List.of(Sums.input("b", "bph", "BpH", "[pH]")),
                List.of(),
                List.of(),
                List.of(new Computed(
                        "lime",
                        Optional.of(Sums.of(Operation.SUBTRACT, new Formula.Number(7), Sums.name("b"))),
                        List.of(new Computed.Class(
                                "no lime", Sums.of(Operation.MORE, Sums.name("b"), new Formula.Number(6.9)))),
                        OptionalDouble.empty(),
                        OptionalDouble.empty())),
                Optional.empty());
        MethodBook methods = MethodBook.shipping(lime);
        List<Result> high = List.of(Sums.measured("bph", "BpH", 7.0, 0.1, Unit.PH));

        assertThat(only(Deriving.of(Sums.day(), high, methods), "lime"))
                .returns(new Amount.Classed("no lime", Unit.PH), Result::amount)
                .returns(Verdict.FIT, Result::verdict);
        assertThat(only(Deriving.of(Sums.day(), Sums.standard(), methods), "lime")
                        .reported())
                .isEqualTo("0.5");
    }

    @Test
    void aPackageGetsWhatItAsksForAndNoMore() {
        Day day = asking(new TestPackage.Asked("saturation", List.of()), new TestPackage.Asked("cec", List.of("CEC")));

        assertThat(Deriving.of(day, Sums.standard(), Sums.METHODS))
                .extracting(Result::analyte)
                .containsExactly("CEC", "K_sat");
        assertThat(Deriving.of(asking(new TestPackage.Asked("ph", List.of())), Sums.standard(), Sums.METHODS))
                .isEmpty();
        assertThat(Deriving.of(day, List.of(), Sums.METHODS)).isEmpty();
    }

    @Test
    void tooLittleSoilIsAnAnswerOfItsOwn() {
        Day day = asking(new TestPackage.Asked("cec", List.of("CEC")));
        Day little = MadeDay.like(day)
                .shortages(List.of(new Shortage(Sums.LAB, "cec")))
                .day();

        assertThat(Deriving.of(little, List.of(), Sums.METHODS))
                .singleElement()
                .satisfies(result -> assertThat(result.reported()).isEqualTo("not enough soil"));
    }

    @Test
    void adviceIsOffUnlessItsRegionIsOn() {
        DerivedMethod advice = new DerivedMethod(
                Sums.head("lime", Sums.analyte("lime", Unit.PH, 1)),
                List.of(Sums.input("ph", "ph", "pH", "[pH]")),
                List.of(),
                List.of(),
                List.of(Sums.computed("lime", Sums.of(Operation.ABS, Sums.name("ph")))),
                Optional.of(new Advice("Somewhere", "Local recommendations come first.")));
        MethodBook methods = MethodBook.shipping(advice);

        assertThat(Deriving.of(Sums.day(), Sums.standard(), methods)).isEmpty();
        Day on = MadeDay.empty()
                .laboratory(MadeLaboratory.named("L")
                        .invented(true)
                        .advice("Somewhere")
                        .laboratory())
                .packages(Sums.EVERYTHING)
                .day();
        assertThat(Deriving.of(on, Sums.standard(), methods)).hasSize(1);
    }

    @Test
    void methodsThatNeedEachOtherAreNamed() {
        DerivedMethod a = circular("a", "b");
        DerivedMethod b = circular("b", "a");

        assertThatThrownBy(() -> Deriving.order(MethodBook.shipping(a, b).on(LocalDate.EPOCH)))
                .isInstanceOf(NoSenseException.class)
                .hasMessage("these methods need each other's results: a needs b needs a");
        assertThat(Deriving.order(Sums.METHODS.on(LocalDate.EPOCH)))
                .extracting(Method::id)
                .containsExactly("cec", "saturation");
    }

    private static DerivedMethod circular(String id, String other) {
        return new DerivedMethod(
                Sums.head(id, Sums.analyte(id, Unit.ONE, 1)),
                List.of(Sums.input("x", other, other, "1")),
                List.of(),
                List.of(),
                List.of(Sums.computed(id, Sums.name("x"))),
                Optional.empty());
    }

    @Test
    void theStoryGoesDownToTheReadingsAndEndsAtTheNumber() {
        List<Result> all = new ArrayList<>(Sums.standard());
        List<Result> derived = Deriving.of(Sums.day(), all, Sums.METHODS);
        all.addAll(derived);
        Result result = only(derived, "K_sat");

        Story story = Deriving.story(
                Sums.day(),
                all,
                Sums.METHODS,
                result,
                input -> Story.of(
                        input,
                        List.of(new Step(
                                "reading of " + input.analyte(),
                                "",
                                input.amount().raw(),
                                input.amount().unit())),
                        List.of()));

        List<Step> steps = story.steps();
        assertThat(steps.get(steps.size() - 1).result())
                .isEqualTo(result.amount().raw());
        assertThat(steps)
                .extracting(Step::what)
                .contains("reading of K", "reading of Ca", "reading of Mg", "reading of pH", "reading of BpH")
                .contains("Input ca: Ca (Ca) by icp, lab number L1", "K_sat = percent(k / cec)");
        assertThat(steps).extracting(Step::what).containsOnlyOnce("reading of K");
        assertThat(story.around()).last().isEqualTo("Verdict: fit.");
    }
}
