package org.tenmesh.core.desk;

import java.util.ArrayList;
import java.util.List;
import org.tenmesh.core.layout.Tray;

/** Trays are kept for quick rechecks until they are dumped. What speaks against dumping one is told first; a person decides. */
public final class Dumping {
    private Dumping() {}

    /**
     * What speaks against it, each as a sentence; none when nothing does.
     *
     * @param inNoBox how many soils of the tray are in no box of the shelf: nothing of them would be left to repeat
     */
    public static List<String> against(Desk desk, Tray tray, int inNoBox) {
        List<String> against = new ArrayList<>();
        boolean ordered =
                RedoOrder.of(desk).stream().anyMatch(order -> order.tray().equals(tray.tray()) && !order.done());
        if (ordered) {
            against.add("Something of it is ordered to be made again.");
        }
        if (desk.trayState(tray.tray())
                .filter(state -> state.station() == Station.SHELF)
                .isEmpty()) {
            against.add("Not everything of it is released.");
        }
        if (inNoBox > 0) {
            against.add(inNoBox + (inNoBox == 1 ? " of its soils is" : " of its soils are")
                    + " in no box of the shelf: nothing would be left to repeat.");
        }
        return against;
    }
}
