package org.tenmesh.simulator.bench;

import java.time.OffsetDateTime;
import java.util.List;
import org.tenmesh.simulator.numbers.Noise;
import org.tenmesh.simulator.soils.Specimen;

/**
 * A run to be made.
 *
 * @param specimens soils and hidden controls in the order of their trays
 * @param readShare how much of it has been read when the day is looked at; 1 = all
 * @param places where the soils of the day lie
 * @param noise how its errors are spread
 * @param turn which of its instrument's runs of this method it is, from 0
 * @param turns how many runs of this method the instrument has on this day
 */
public record RunPlan(
        String run,
        String method,
        String instrument,
        String operator,
        OffsetDateTime start,
        List<Specimen> specimens,
        double readShare,
        Places places,
        Noise noise,
        int turn,
        int turns) {
    /** A run whose turn is not counted yet. */
    public RunPlan(
            String run,
            String method,
            String instrument,
            String operator,
            OffsetDateTime start,
            List<Specimen> specimens,
            double readShare,
            Places places,
            Noise noise) {
        this(run, method, instrument, operator, start, specimens, readShare, places, noise, 0, 1);
    }

    public RunPlan inTurn(int its, int of) {
        return new RunPlan(run, method, instrument, operator, start, specimens, readShare, places, noise, its, of);
    }

    public RunPlan with(List<Specimen> others, Places seen) {
        return new RunPlan(run, method, instrument, operator, start, others, readShare, seen, noise, turn, turns);
    }
}
