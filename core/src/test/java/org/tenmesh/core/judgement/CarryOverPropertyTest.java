package org.tenmesh.core.judgement;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.tenmesh.core.reduction.PaperRun.analyte;
import static org.tenmesh.core.reduction.PaperRun.extraction;
import static org.tenmesh.core.reduction.PaperRun.lab;

import java.util.Set;
import java.util.SplittableRandom;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.FlowMethod;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.PaperRun;
import org.tenmesh.core.reduction.Role;

/** A share of every peak is planted in the next one: the judge must find the soils it raised, and no others. */
class CarryOverPropertyTest {
    private static final double LIMIT_MG_PER_KG = 2;
    private static final FlowMethod METHOD = PaperRun.flow(
            extraction(1, 10, Extraction.Basis.MASS, Extraction.Shape.LINE),
            analyte("P", Unit.MILLIGRAM_PER_KILOGRAM, LIMIT_MG_PER_KG));

    /** A flow in which a share of each signal stays for the next; a wash takes it all. */
    private static final class Flowing {
        final PaperRun run = new PaperRun(METHOD);
        final double share;
        double last;

        Flowing(double share) {
            this.share = share;
        }

        /** Returns what came over, in mg/L. */
        double read(Role role, String identity, double mgPerL) {
            double carried = share * last;
            last = mgPerL + carried;
            run.read(role, identity, "peak", 0.04 + 0.1 * last);
            return carried;
        }

        void wash() {
            last = 0;
            run.read(Role.WASH, "W", "peak", 0.04);
        }
    }

    @Test
    void findsThePlantedShareAndTheSoilsItRaised() {
        int touchedInAll = 0;
        for (long seed = 1; seed <= 100; seed++) {
            SplittableRandom random = new SplittableRandom(seed);
            Flowing flowing = new Flowing(random.nextDouble(0, 0.03));
            for (double mgPerL : new double[] {0, 1, 2, 5, 10, 20}) {
                flowing.run.known("S" + mgPerL, "P", mgPerL);
                flowing.wash();
                flowing.read(Role.STANDARD, "S" + mgPerL, mgPerL);
            }
            flowing.wash();
            flowing.read(Role.BLANK, "B", 0);
            flowing.read(Role.VERIFICATION, "CO-low", 1);
            flowing.read(Role.VERIFICATION, "CO-high", 18);
            flowing.read(Role.VERIFICATION, "CO-low", 1);
            flowing.wash();
            Set<String> expected = new TreeSet<>();
            Set<String> soils = new TreeSet<>();
            for (int i = 1; i <= 60; i++) {
                if (random.nextInt(10) == 0) {
                    flowing.wash();
                }
                double mgPerL = random.nextInt(5) == 0 ? random.nextDouble(10, 19) : random.nextDouble(0.1, 2);
                double carried = flowing.read(Role.SAMPLE, lab(i), mgPerL);
                soils.add(lab(i));
                if (carried > 0.2 * mgPerL && 10 * carried > LIMIT_MG_PER_KG) {
                    expected.add(lab(i));
                }
            }
            flowing.wash();

            RunJudgement judgement = flowing.run.judge();

            // More than 2 % of a peak shuts the gate, and then no soil is fit.
            boolean shut = flowing.share > 0.02;
            Set<String> touched = judgement.determinations().stream()
                    .filter(one -> one.findings().stream()
                            .anyMatch(i -> judgement.findings().get(i).kind() == CauseKind.CARRY_OVER))
                    .map(one -> one.determination().identity())
                    .collect(Collectors.toCollection(TreeSet::new));
            GateOutcome gate = judgement.gates().stream()
                    .filter(outcome -> outcome.gate() == Gate.CARRY_OVER)
                    .findFirst()
                    .orElseThrow();
            assertThat(gate.open()).as("seed %d", seed).isEqualTo(!shut);
            double saidPct = Double.parseDouble(gate.observed().replaceAll(".*P ([0-9.]+) % of a peak.*", "$1"));
            // Said to two digits.
            assertThat(saidPct).as("seed %d", seed).isCloseTo(100 * flowing.share, within(0.051));
            assertThat(touched).as("seed %d, share %s", seed, flowing.share).isEqualTo(shut ? soils : expected);
            touchedInAll += shut ? 0 : expected.size();
        }
        assertThat(touchedInAll).as("soils that the planted shares raised").isGreaterThan(20);
    }
}
