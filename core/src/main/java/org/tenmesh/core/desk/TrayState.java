package org.tenmesh.core.desk;

import java.util.List;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.layout.Tray;

/**
 * One tray as the day's facts show it.
 *
 * @param wells twelve of them, in well order
 * @param lacking ids of the methods asked for and not read yet
 * @param worst over all its determinations
 */
public record TrayState(
        Tray tray, Station station, boolean regulated, List<WellState> wells, List<String> lacking, Verdict worst) {
    public TrayState {
        wells = List.copyOf(wells);
        lacking = List.copyOf(lacking);
    }

    public String name() {
        return tray.tray();
    }

    /** How many of the wells hold soil. */
    public int soils() {
        return (int) wells.stream()
                .filter(w -> w != WellState.EMPTY && w != WellState.KEY)
                .count();
    }

    /** What a well shows. */
    public enum WellState {
        EMPTY,
        KEY,
        UNREAD,
        FIT,
        HOLD,
        REDO
    }
}
