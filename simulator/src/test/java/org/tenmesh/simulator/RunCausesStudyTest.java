package org.tenmesh.simulator;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Finding;
import org.tenmesh.core.judgement.RunJudgement;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.simulator.faults.Planted;
import org.tenmesh.simulator.soils.Element;

/**
 * How often one run shows its own causes, rightly named and with the right soils, and how often it shows one that is not there. Seeded; the
 * system property {@code tenmesh.study.days} says over how many days, a few when it is not set.
 */
class RunCausesStudyTest {
    private static final int DAYS = Integer.getInteger("tenmesh.study.days", 12);
    private static final Set<CauseKind> OWN = EnumSet.of(
            CauseKind.STANDARD_WRONG,
            CauseKind.DRIFT,
            CauseKind.CARRY_OVER,
            CauseKind.DILUTION_MISMATCH,
            CauseKind.CONTROL_MATERIAL_MISTAKEN);

    private final Map<String, Integer> counts = new TreeMap<>();

    private void count(String what, boolean yes) {
        counts.merge(what, yes ? 1 : 0, Integer::sum);
        counts.merge(what + ", of", 1, Integer::sum);
    }

    private double share(String what) {
        return counts.getOrDefault(what, 0) / (double) counts.getOrDefault(what + ", of", 1);
    }

    private void report() {
        counts.forEach((what, n) -> {
            if (!what.endsWith(", of")) {
                System.out.println(what + ": " + n + " of " + counts.get(what + ", of"));
            }
        });
    }

    /** A day with one fault, its planted truth and what the judge says of that run. */
    private record Judged(Day day, Planted planted, RunJudgement judgement) {
        static Judged of(long seed, String fault) {
            SimulatedDay simulated = Simulator.simulate(
                    Scenario.of(EditedRuns.seed(seed), 240, EditedRuns.DATE).with(Fault.parse(fault)));
            Planted planted = simulated.truth().faults().get(0);
            Run run = simulated.day().runs().stream()
                    .filter(one -> one.run().equals(planted.run()))
                    .findFirst()
                    .orElseThrow();
            return new Judged(simulated.day(), planted, EditedRuns.judge(simulated.day(), run));
        }

        Optional<Finding> finding(CauseKind kind) {
            return judgement.findings().stream().filter(f -> f.kind() == kind).findFirst();
        }

        Set<LabNumber> touched(CauseKind kind) {
            return judgement.determinations().stream()
                    .filter(one -> one.findings().stream()
                            .anyMatch(i -> judgement.findings().get(i).kind() == kind))
                    .map(one -> new LabNumber(one.determination().identity()))
                    .collect(Collectors.toCollection(TreeSet::new));
        }

        boolean alone(CauseKind kind) {
            return judgement.findings().stream()
                    .allMatch(f -> f.kind() == kind || f.kind() == CauseKind.DUPLICATES_DISAGREE);
        }
    }

    @Test
    void callsNothingOnCleanDays() {
        Map<CauseKind, Integer> alarms = new LinkedHashMap<>();
        int runs = 0;
        for (long seed = 40_000; seed < 40_000 + DAYS; seed++) {
            Day day = EditedRuns.day(EditedRuns.seed(seed), 1000);
            for (Run run : day.runs()) {
                runs++;
                for (Finding finding : EditedRuns.judge(day, run).findings()) {
                    if (OWN.contains(finding.kind())) {
                        alarms.merge(finding.kind(), 1, Integer::sum);
                        System.out.println(seed + " " + run.run() + " " + finding);
                    }
                }
            }
        }
        System.out.println("false alarms in " + runs + " clean runs: " + alarms);
        // Measured over 600 independent days of 15 runs: two, both a drift just beyond what is ever called. None in a
        // hundred days is the
        // aim; one is borne.
        assertThat(alarms.values().stream().mapToInt(Integer::intValue).sum())
                .as("%s", alarms)
                .isLessThanOrEqualTo(DAYS / 100);
    }

    @Test
    void namesTheStandardThatIsTenPerCentWrong() {
        List<String> standards = List.of("WS2", "WS3", "WS4", "WS5", "WS6");
        for (int i = 0; i < DAYS; i++) {
            String size = i % 2 == 0 ? "0.1" : "-0.1";
            String symbol = Element.SYMBOLS.get(i % Element.SYMBOLS.size());
            int position = 2 + i % standards.size();
            standard("standard, all elements", 41_000 + i, "standard-wrong@ICP1-01:" + position + ",size=" + size);
            standard(
                    "standard, one element",
                    42_000 + i,
                    "standard-wrong@ICP1-01:" + position + ",size=" + size + ",analytes=" + symbol);
            standard("buffer", 43_000 + i, "standard-wrong@PH1-01,size=" + size);
        }
        report();
        assertThat(share("standard, all elements named")).isGreaterThanOrEqualTo(0.99);
        assertThat(share("standard, all elements with all its soils and nothing beside"))
                .isGreaterThan(0.9);
        assertThat(share("buffer named")).isGreaterThanOrEqualTo(0.99);
        assertThat(share("standard, one element named")).isGreaterThan(0.8);
    }

    private void standard(String what, long seed, String fault) {
        Judged judged = Judged.of(seed, fault);
        Optional<Finding> found = judged.finding(CauseKind.STANDARD_WRONG);
        Readings readings = judged.judgement().reduced().run().readings();
        String name = "";
        for (int i = 0; i < readings.size(); i++) {
            if (judged.planted().story().startsWith(readings.identity(i) + " ")
                    || judged.planted().story().startsWith("the bottle of buffer " + readings.identity(i) + " ")) {
                name = readings.identity(i);
            }
        }
        String itsName = name;
        boolean named = found.filter(f -> f.evidence().startsWith("Standard " + itsName + " "))
                .isPresent();
        count(what + " named", named);
        count(
                what + " with all its soils and nothing beside",
                named
                        && found.get().analytes().equals(judged.planted().analytes())
                        && judged.touched(CauseKind.STANDARD_WRONG)
                                .equals(new TreeSet<>(judged.planted().labNumbers()))
                        && judged.alone(CauseKind.STANDARD_WRONG));
        if (!named || !judged.alone(CauseKind.STANDARD_WRONG)) {
            System.out.println((named ? "beside: " : "not named: ") + fault + " of seed " + seed + ", found "
                    + judged.judgement().findings().stream()
                            .map(Finding::evidence)
                            .toList());
        }
    }

    @Test
    void findsADriftOfFivePerCentBeforeTheLastTenthIsRead() {
        for (int i = 0; i < DAYS; i++) {
            String symbol = Element.SYMBOLS.get(i % Element.SYMBOLS.size());
            String fault = "drift@ICP1-01,total=" + (i % 2 == 0 ? "0.05" : "-0.05") + ",analytes=" + symbol;
            drift("drift", 44_000 + i, fault, symbol);
            drift("drift of a probe", 45_000 + i, "drift@PH1-01,total=" + (i % 2 == 0 ? "0.1" : "-0.1"), "pH");
        }
        report();
        assertThat(share("drift found at nine tenths")).isGreaterThan(0.95);
        assertThat(share("drift of a probe found at nine tenths")).isGreaterThan(0.95);
    }

    private void drift(String what, long seed, String fault, String symbol) {
        SimulatedDay simulated = Simulator.simulate(
                Scenario.of(EditedRuns.seed(seed), 480, EditedRuns.DATE).with(Fault.parse(fault)));
        Run run = simulated.day().runs().stream()
                .filter(one ->
                        one.run().equals(simulated.truth().faults().get(0).run()))
                .findFirst()
                .orElseThrow();
        Run read = EditedRuns.edited(
                run, (p, role, id, channel, quantity, value) -> value, EditedRuns.lastPosition(run) * 9 / 10);
        List<Finding> found = EditedRuns.judge(simulated.day(), read).findings().stream()
                .filter(f -> f.kind() == CauseKind.DRIFT)
                .toList();
        count(
                what + " found at nine tenths",
                found.stream().anyMatch(f -> f.analytes().contains(symbol)));
        count(
                what + " of no other element",
                found.stream().allMatch(f -> f.analytes().equals(List.of(symbol))));
    }

    @Test
    void findsWhatWasCarriedOver() {
        int touched = 0;
        int found = 0;
        int beyond = 0;
        for (int i = 0; i < DAYS; i++) {
            Judged judged = Judged.of(46_000 + i, "carry-over@ICP1-01,size=" + (i % 2 == 0 ? "0.02" : "0.05"));
            count("carry-over named", judged.finding(CauseKind.CARRY_OVER).isPresent());
            Set<LabNumber> said = judged.touched(CauseKind.CARRY_OVER);
            touched += judged.planted().labNumbers().size();
            found += (int) judged.planted().labNumbers().stream()
                    .filter(said::contains)
                    .count();
            beyond += (int) said.stream()
                    .filter(lab -> !judged.planted().labNumbers().contains(lab))
                    .count();
        }
        report();
        System.out.println("soils changed by over 20 %: " + touched + ", found " + found + ", said beside " + beyond);
        assertThat(found / (double) touched).isGreaterThan(0.9);
    }

    @Test
    void namesADilutionAndAnOpenControlThatAreNotWhatIsWritten() {
        for (int i = 0; i < DAYS; i++) {
            Judged diluted = Judged.of(47_000 + i, "dilution-mismatch@ICP1-01,size=" + (i % 2 == 0 ? "2" : "4"));
            boolean twice = diluted.planted().story().contains("recorded dilution 5.0")
                    || diluted.planted().story().contains("recorded dilution 10.0");
            if (twice) {
                Optional<Finding> found = diluted.finding(CauseKind.DILUTION_MISMATCH);
                String truth =
                        diluted.planted().story().replaceAll(".* in truth ", "").replaceAll("\\.0$", "");
                count("dilution found", found.isPresent());
                count(
                        "dilution rightly named",
                        found.filter(f -> f.evidence().contains("diluted " + truth + "-fold"))
                                .isPresent());
            }
            Judged mistaken = Judged.of(48_000 + i, "control-material-mistaken@ICP1-01,open=yes");
            count(
                    "open control named",
                    mistaken.finding(CauseKind.CONTROL_MATERIAL_MISTAKEN).isPresent());
            count("open control with nothing beside", mistaken.alone(CauseKind.CONTROL_MATERIAL_MISTAKEN));
        }
        report();
        // Only a handful of these days has an extract that is read twice: one of five may be called by the next factor.
        assertThat(share("dilution rightly named")).isGreaterThan(0.75);
        assertThat(share("open control named")).isGreaterThan(0.95);
    }
}
