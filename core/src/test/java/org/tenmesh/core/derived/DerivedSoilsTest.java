package org.tenmesh.core.derived;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.UnaryOperator;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.made.MadeSoil;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;

/** What was derived before is taken where nothing changed, and nowhere else: always the same as derived from nothing. */
class DerivedSoilsTest {
    private static final int SOILS = 5;

    private final DerivedSoils before = new DerivedSoils();

    private static LabNumber lab(int i) {
        return new LabNumber("L" + i);
    }

    private static List<Result> results(UnaryOperator<Result> changed) {
        return IntStream.range(0, SOILS)
                .boxed()
                .flatMap(i -> Sums.standard().stream()
                        .map(one -> Sums.result(
                                lab(i),
                                one.method(),
                                one.analyte(),
                                one.amount(),
                                one.expandedUncertainty().orElse(0),
                                Verdict.FIT)))
                .map(changed)
                .toList();
    }

    private static boolean isOf(Result result, int soil, String analyte) {
        return result.labNumber().equals(lab(soil)) && result.analyte().equals(analyte);
    }

    private static Day day(String packageOfFirst, List<TestPackage> packages) {
        return Sums.day(
                IntStream.range(0, SOILS)
                        .mapToObj(i -> MadeSoil.numbered(lab(i))
                                .asking(i == 0 ? packageOfFirst : "everything")
                                .soil())
                        .toList(),
                packages);
    }

    /** Derives by what is known, holds it against derived from nothing, and says how many soils were calculated. */
    private int calculated(Day day, List<Result> standing, MethodBook methods) {
        int already = before.calculated();
        assertThat(Deriving.of(day, standing, methods, before)).isEqualTo(Deriving.of(day, standing, methods));
        return before.calculated() - already;
    }

    @Test
    void onlyWhatChangedIsCalculated() {
        Day day = day("everything", Sums.EVERYTHING);
        List<Result> all = results(one -> one);

        assertThat(calculated(day, all, Sums.METHODS)).isEqualTo(SOILS);
        assertThat(calculated(day, all, Sums.METHODS)).isZero();

        List<Result> lastBit = results(one -> isOf(one, 2, "K")
                ? Sums.result(
                        lab(2),
                        "icp",
                        "K",
                        new Amount.Measured(Math.nextUp(150.0), Unit.MILLIGRAM_PER_KILOGRAM),
                        14,
                        Verdict.FIT)
                : one);
        assertThat(calculated(day, lastBit, Sums.METHODS)).isEqualTo(1);

        List<Result> held = results(one -> isOf(one, 3, "Ca") ? one.heldBy("run.drift.1") : one);
        assertThat(calculated(day, held, Sums.METHODS)).isEqualTo(2);
        assertThat(Deriving.of(day, held, Sums.METHODS, before))
                .filteredOn(one -> one.verdict() == Verdict.HOLD)
                .isNotEmpty()
                .allMatch(one -> one.labNumber().equals(lab(3)));
    }

    @Test
    void anotherPackageOfOneSoilIsSeen() {
        TestPackage one = new TestPackage("one", "One", List.of(new TestPackage.Asked("saturation", List.of())));
        List<TestPackage> packages = new ArrayList<>(Sums.EVERYTHING);
        packages.add(one);
        List<Result> all = results(result -> result);

        assertThat(calculated(day("everything", packages), all, Sums.METHODS)).isEqualTo(SOILS);
        assertThat(calculated(day("one", packages), all, Sums.METHODS)).isEqualTo(1);
    }

    @Test
    void aMethodChangedAnywhereChangesAll() {
        Day day = day("everything", Sums.EVERYTHING);
        List<Result> all = results(one -> one);
        DerivedMethod later = new DerivedMethod(
                new Method.Head(
                        "cec",
                        LocalDate.of(1960, 1, 1),
                        "cec",
                        "",
                        List.of(Sums.PRACTICE),
                        Sums.CEC.head().analytes(),
                        List.of(),
                        ""),
                Sums.CEC.inputs(),
                List.of(
                        Sums.constant("per_ca", 200, "mg/cmol"),
                        Sums.constant("per_mg", 121.53, "mg/cmol"),
                        Sums.constant("per_k", 390.98, "mg/cmol"),
                        Sums.constant("per_ph", 12, "cmol/kg")),
                List.of(),
                Sums.CEC.results(),
                Optional.empty());

        assertThat(calculated(day, all, Sums.METHODS)).isEqualTo(SOILS);
        assertThat(calculated(day, all, Sums.METHODS.with(List.of(later)))).isEqualTo(SOILS);
        assertThat(calculated(day, all, Sums.METHODS)).isEqualTo(SOILS);
    }
}
