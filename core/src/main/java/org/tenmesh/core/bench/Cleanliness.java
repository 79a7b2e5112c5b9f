package org.tenmesh.core.bench;

import java.util.List;
import java.util.Optional;

/**
 * Whether a mill, or a rack, had regulated soil in it after it was cleaned last. By the clocks of the devices, so that a note that comes late counts
 * where it belongs.
 */
public final class Cleanliness {
    private Cleanliness() {}

    /**
     * The newest regulated soil after which no cleaning is noted; empty when it is clean.
     *
     * @param acts about it: its cleanings, and what was ground in it or lay on it. Regulated soil of which nobody said in which mill it was ground
     *     may have been in any
     */
    public static Optional<BenchAct> uncleaned(List<BenchAct> acts) {
        List<BenchAct> counted = BenchWork.counted(acts);
        return counted.stream()
                .filter(act -> act.what() != BenchAct.What.CLEANED && act.measured(Measure.REGULATED) > 0)
                .filter(soil -> counted.stream()
                        .noneMatch(act -> act.what() == BenchAct.What.CLEANED
                                && act.deviceAt().isAfter(soil.deviceAt())))
                .reduce((first, last) -> last.deviceAt().isBefore(first.deviceAt()) ? first : last);
    }
}
