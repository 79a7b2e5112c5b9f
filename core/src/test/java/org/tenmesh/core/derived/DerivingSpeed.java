package org.tenmesh.core.derived;

import java.util.ArrayList;
import java.util.List;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.LabNumber;

/** How long a day of 4,000 soils takes to derive; run by hand. */
final class DerivingSpeed {
    private DerivingSpeed() {}

    public static void main(String[] args) {
        List<Result> standing = new ArrayList<>();
        for (int i = 0; i < 4000; i++) {
            LabNumber lab = new LabNumber("L" + (10_000 + i));
            for (Result one : Sums.standard()) {
                standing.add(Sums.result(
                        lab,
                        one.method(),
                        one.analyte(),
                        one.amount(),
                        one.expandedUncertainty().orElse(0),
                        one.verdict()));
            }
        }
        for (int round = 0; round < 30; round++) {
            long start = System.nanoTime();
            int derived = Deriving.of(Sums.day(), standing, Sums.METHODS).size();
            if (round % 5 == 4) {
                System.out.printf("%d results in %.1f ms%n", derived, (System.nanoTime() - start) / 1e6);
            }
        }
    }
}
