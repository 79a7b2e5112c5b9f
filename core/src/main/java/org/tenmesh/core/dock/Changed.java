package org.tenmesh.core.dock;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * Something that was said or done at the dock and holds no longer, beside what stands in its place.
 *
 * @param first what was said before
 * @param by the act that took it back, or that says the same thing anew: another count, another mass, another origin
 */
public record Changed(DockAct first, DockAct by) {
    /** @throws IllegalArgumentException where the one does not stand in the place of the other */
    public Changed {
        boolean back = by.what() == DockAct.What.TAKEN_BACK && by.about().equals(first.id());
        if (!back && by.what() != first.what()) {
            throw new IllegalArgumentException("act " + by.id() + " at the dock does not change act " + first.id());
        }
    }

    /** Whether it was taken back, and not only said anew. */
    public boolean takenBack() {
        return by.what() == DockAct.What.TAKEN_BACK;
    }

    /** Whether a later act of this kind stands in the place of an earlier one. */
    static boolean oneHolds(DockAct.What what) {
        return what == DockAct.What.COUNTED || what == DockAct.What.WEIGHED || what == DockAct.What.ORIGIN;
    }

    /** Whether two acts of one kind say the same. */
    static boolean same(DockAct one, DockAct other) {
        return one.number() == other.number()
                && one.about().equals(other.about())
                && one.says().equals(other.says());
    }

    /** All that was changed, in the order in which it was. */
    static List<Changed> of(List<DockAct> acts) {
        List<Changed> changed = new ArrayList<>();
        Map<String, DockAct> known = new HashMap<>();
        Map<DockAct.What, List<DockAct>> hold = new EnumMap<>(DockAct.What.class);
        for (DockAct act : acts) {
            List<DockAct> before = hold.computeIfAbsent(act.what(), what -> new ArrayList<>());
            if (act.what() == DockAct.What.TAKEN_BACK) {
                DockAct gone = known.remove(act.about());
                if (gone != null) {
                    changed.add(new Changed(gone, act));
                    hold.getOrDefault(gone.what(), List.of()).remove(gone);
                }
                continue;
            }
            if (oneHolds(act.what()) && !before.isEmpty() && !same(before.get(before.size() - 1), act)) {
                changed.add(new Changed(before.get(before.size() - 1), act));
            }
            known.put(act.id(), act);
            before.add(act);
        }
        return changed;
    }
}
