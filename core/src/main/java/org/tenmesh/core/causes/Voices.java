package org.tenmesh.core.causes;

import java.util.ArrayList;
import java.util.BitSet;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.agreement.Agreement;
import org.tenmesh.core.agreement.Difference;
import org.tenmesh.core.agreement.Smoother;

/**
 * Who says how a soil's results agree with each other: for each method the relations, and every soil's difference from what they predict.
 *
 * @param rows the soils that are spoken of
 */
record Voices(
        BitSet rows,
        List<DayRelations.Learnt> learnt,
        List<Agreement> agreements,
        List<@Nullable Difference[]> differences) {
    private record Differences(@Nullable Difference[] each) {}

    private static Voices of(BitSet rows, List<DayRelations.Learnt> learnt, Reuse reuse) {
        return new Voices(
                rows,
                learnt,
                learnt.stream().map(DayRelations.Learnt::agreement).toList(),
                learnt.parallelStream()
                        .map(one -> reuse.piece(
                                Differences.class,
                                reuse.key("differences", one.key()),
                                () -> new Differences(Smoother.differences(one.agreement()))))
                        .map(Differences::each)
                        .toList());
    }

    /**
     * All soils' relations speak for the soils that have no relations of their own.
     *
     * @param own for some soils the relations of their own
     */
    static List<Voices> of(
            DaySoils soils,
            List<DayRelations.Learnt> agreements,
            Map<BitSet, List<DayRelations.Learnt>> own,
            Reuse reuse) {
        List<Voices> voices = new ArrayList<>();
        BitSet rest = new BitSet();
        rest.set(0, soils.size());
        own.forEach((rows, theirs) -> {
            voices.add(of(rows, theirs, reuse));
            rest.andNot(rows);
        });
        voices.add(0, of(rest, agreements, reuse));
        return voices;
    }
}
