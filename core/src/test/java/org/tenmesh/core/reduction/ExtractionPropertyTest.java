package org.tenmesh.core.reduction;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.tenmesh.core.reduction.PaperRun.analyte;
import static org.tenmesh.core.reduction.PaperRun.extraction;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.EmissionMethod.Overlap;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.quantity.Unit;

/** What must hold of every calibrated extraction, on seeded random runs. */
class ExtractionPropertyTest {
    private static final String[] SYMBOLS = {"Al", "B", "Ca", "Cu", "Fe", "P"};

    // Every element may add to every other line, to a tenth of its own concentration: the truth comes back.
    @Test
    void mutualOverlapsGiveBackTheTruth() {
        for (long seed = 1; seed <= 200; seed++) {
            SplittableRandom random = new SplittableRandom(seed);
            int n = random.nextInt(2, SYMBOLS.length + 1);
            double[][] share = new double[n][n];
            List<Overlap> overlaps = new ArrayList<>();
            List<Analyte> analytes = new ArrayList<>();
            for (int i = 0; i < n; i++) {
                analytes.add(analyte(SYMBOLS[i], Unit.MILLIGRAM_PER_KILOGRAM, 0));
                for (int j = 0; j < n; j++) {
                    if (i != j && random.nextInt(3) > 0) {
                        share[i][j] = random.nextDouble(-0.02, 0.1);
                        overlaps.add(new Overlap(SYMBOLS[i] + " 200.000", SYMBOLS[j], share[i][j]));
                    }
                }
            }
            PaperRun run = new PaperRun(PaperRun.emission(
                    extraction(1, 10, Extraction.Basis.MASS, Extraction.Shape.LINE), analytes, overlaps));
            double[] slope = random.doubles(n, 100, 5000).toArray();
            double[] zero = random.doubles(n, 0, 50).toArray();
            for (int s = 0; s < 6; s++) {
                double[] content =
                        s == 0 ? new double[n] : random.doubles(n, 1, 100).toArray();
                for (int i = 0; i < n; i++) {
                    run.known("S" + s, SYMBOLS[i], content[i]);
                }
                read(run, Role.STANDARD, "S" + s, content, share, slope, zero);
            }
            double[] truth = random.doubles(n, 5, 60).toArray();
            read(run, Role.SAMPLE, "soil", truth, share, slope, zero);

            List<Determination> soil = run.reduce().determinations().stream()
                    .filter(d -> d.role() == Role.SAMPLE)
                    .toList();

            for (int i = 0; i < n; i++) {
                assertThat(soil.get(i).amount().raw())
                        .as("seed %d, %s", seed, SYMBOLS[i])
                        .isCloseTo(10 * truth[i], within(1e-7 * truth[i]));
            }
        }
    }

    private static void read(
            PaperRun run,
            Role role,
            String identity,
            double[] content,
            double[][] share,
            double[] slope,
            double[] zero) {
        Object[] pairs = new Object[2 * content.length];
        for (int i = 0; i < content.length; i++) {
            double apparent = content[i];
            for (int j = 0; j < content.length; j++) {
                apparent += share[i][j] * content[j];
            }
            pairs[2 * i] = SYMBOLS[i] + " 200.000";
            pairs[2 * i + 1] = zero[i] + slope[i] * apparent;
        }
        run.read(role, identity, pairs);
    }

    // Between washes at random places the baseline runs straight, up or down; the content comes back as if it had stood
    // still.
    @Test
    void aStraightDriftOfTheBaselineChangesNothing() {
        for (long seed = 1; seed <= 200; seed++) {
            SplittableRandom random = new SplittableRandom(seed);
            PaperRun run = new PaperRun(PaperRun.flow(
                    extraction(1, 20, Extraction.Basis.MASS, Extraction.Shape.QUADRATIC),
                    analyte("P", Unit.MILLIGRAM_PER_KILOGRAM, 0)));
            double baseline = random.nextDouble(0, 0.1);
            double bend = random.nextDouble(-0.3, 0.1);
            int serial = 0;
            List<Double> truth = new ArrayList<>();
            run.read(Role.WASH, "W", "peak", baseline);
            for (int stretch = 0; stretch < 5; stretch++) {
                double climb = random.nextDouble(-0.004, 0.004);
                int length = random.nextInt(6, 15);
                for (int i = 0; i < length; i++) {
                    baseline += climb;
                    boolean standard = stretch == 0 && i < 6;
                    double x = standard ? 0.4 * i : random.nextDouble(0.05, 2);
                    String identity = standard ? "S" + i : "soil " + serial++;
                    if (standard) {
                        run.known(identity, "P", x);
                    } else {
                        truth.add(x);
                    }
                    double share = x / 2;
                    run.read(
                            standard ? Role.STANDARD : Role.SAMPLE,
                            identity,
                            "peak",
                            baseline + share * (1 + bend * share));
                }
                baseline += climb;
                run.read(Role.WASH, "W", "peak", baseline);
            }

            List<Determination> soils = run.reduce().determinations().stream()
                    .filter(d -> d.role() == Role.SAMPLE)
                    .toList();

            assertThat(soils).as("seed %d", seed).hasSameSizeAs(truth);
            for (int i = 0; i < soils.size(); i++) {
                assertThat(soils.get(i).amount().raw())
                        .as("seed %d, soil %d", seed, i)
                        .isCloseTo(20 * truth.get(i), within(1e-8));
            }
        }
    }

    // Whatever the soil was diluted by and whatever the blank was, mass balance gives the soil back.
    @Test
    void dilutionAndBlankLeaveTheContentAlone() {
        for (long seed = 1; seed <= 200; seed++) {
            SplittableRandom random = new SplittableRandom(seed);
            double soilG = random.nextDouble(1, 5);
            double extractMl = random.nextDouble(10, 50);
            double blank = random.nextDouble(0, 0.2);
            double dilution = random.nextInt(1, 11);
            double truth = random.nextDouble(1, 40);
            PaperRun run = new PaperRun(PaperRun.flow(
                    extraction(soilG, extractMl, Extraction.Basis.MASS, Extraction.Shape.LINE),
                    analyte("P", Unit.MILLIGRAM_PER_KILOGRAM, 0)));
            for (int s = 0; s < 5; s++) {
                run.known("S" + s, "P", 10 * s).read(Role.STANDARD, "S" + s, "peak", 0.02 + 0.5 * s);
            }
            run.read(Role.BLANK, "B", "peak", 0.02 + 0.05 * blank);
            // Diluted with extractant, which carries the blank with it.
            double read = (truth * soilG / extractMl) / dilution + blank;
            run.diluted(dilution, Role.SAMPLE, "soil", "peak", 0.02 + 0.05 * read);

            Determination soil = run.reduce().determinations().get(6);

            assertThat(soil.amount().raw()).as("seed %d", seed).isCloseTo(truth, within(1e-9 * dilution * truth));
        }
    }
}
