package org.tenmesh.core.derived;

import java.lang.management.ManagementFactory;
import java.util.ArrayList;
import java.util.List;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.LabNumber;

/** How long a day of 4,000 soils takes to derive; run by hand with the common pool switched off. */
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
            // Processor time of this thread, so that what else the machine does is not counted.
            long start = ManagementFactory.getThreadMXBean().getCurrentThreadCpuTime();
            int derived = Deriving.of(Sums.day(), standing, Sums.METHODS).size();
            if (round % 5 == 4) {
                System.out.printf(
                        "%d results in %.1f ms of processor time%n",
                        derived, (ManagementFactory.getThreadMXBean().getCurrentThreadCpuTime() - start) / 1e6);
            }
        }
    }
}
