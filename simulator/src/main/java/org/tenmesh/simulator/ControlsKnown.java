package org.tenmesh.simulator;

import java.util.List;
import java.util.OptionalInt;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.simulator.numbers.Chance;
import org.tenmesh.simulator.numbers.Decimals;

/**
 * What a laboratory knows of its control soils: mean and standard deviation of so many earlier runs, which differ from the truth as those of
 * a real laboratory do. The values of earlier runs are drawn from a normal distribution with the true mean and the true spread between runs.
 *
 * @param runs earlier runs of each control soil, analyte and method; 4 to 1,000
 * @param laboratory which laboratory: another number had other earlier runs of the same soils
 */
public record ControlsKnown(int runs, long laboratory) {
    public ControlsKnown {
        if (runs < 4 || runs > 1000) {
            throw new IllegalArgumentException("control soils are known from 4 to 1000 earlier runs, found " + runs);
        }
    }

    /** The laboratory of the examples: 60 earlier runs, about a quarter of a year. */
    public static ControlsKnown usual() {
        return new ControlsKnown(60, 1);
    }

    /** The materials as this laboratory knows them; given with their true means and spreads. */
    List<Material> of(List<Material> trueOnes) {
        return trueOnes.stream().map(this::estimated).toList();
    }

    private Material estimated(Material truth) {
        Chance chance =
                new Chance(laboratory, "known " + truth.material() + ' ' + truth.method() + ' ' + truth.analyte());
        double mean = 0;
        double squares = 0;
        for (int i = 1; i <= runs; i++) {
            double off = truth.sd() * chance.normal();
            double before = mean;
            mean += (off - mean) / i;
            squares += (off - before) * (off - mean);
        }
        return new Material(
                truth.material(),
                truth.method(),
                truth.analyte(),
                Decimals.significant(truth.mean() + mean, 6),
                Decimals.significant(Math.sqrt(squares / (runs - 1)), 3),
                truth.unit(),
                OptionalInt.of(runs));
    }
}
