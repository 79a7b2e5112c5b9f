package org.tenmesh.core.judgement;

import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Role;

/**
 * What causes already found do to every reading of a run, so that a check which fails for their sake is not taken for a cause of its
 * own.
 */
final class KnownEffects {
    private final RunTable table;
    private final Optional<Extraction> extract;
    private final Optional<WrongStandard.Found> standard;
    private final Optional<CarriedOver> carriedOver;

    private final Map<Lane, Drift> drifts = new HashMap<>();
    private final Interference.OfRun interferences;

    KnownEffects(
            RunTable table,
            Optional<WrongStandard.Found> standard,
            Optional<CarriedOver> carriedOver,
            Interference.OfRun interferences) {
        this.table = table;
        extract = table.method().extract();
        this.standard = standard;
        this.carriedOver = carriedOver;
        this.interferences = interferences;
    }

    /**
     * A drift in the unit of the lane.
     *
     * @param perTolerance what one tolerance is: a share where the drift is a factor, the analyte's unit where it shifts
     * @param share whether it is a factor
     */
    record Drift(Trend trend, double perTolerance, boolean share) {
        /** What it adds to a value read at a row. */
        double offAt(int row, double value) {
            double off = trend.at(row) * perTolerance;
            return share ? value * off / (1 + off) : off;
        }
    }

    void add(Drift drift) {
        drifts.put(drift.trend().lane(), drift);
    }

    Optional<Trend> trend(Lane lane) {
        return Optional.ofNullable(drifts.get(lane)).map(Drift::trend);
    }

    /** Without the drift of its lane, if that drifts. */
    double withoutDrift(int row, int column) {
        Determination d = table.at(row, column);
        Drift drift = drifts.get(new Lane(column, channel(d)));
        double value = d.amount().raw();
        return drift == null ? value : value - drift.offAt(row, value);
    }

    /** Whether nothing is found so far that changes any reading. */
    boolean isEmpty() {
        return standard.isEmpty() && carriedOver.map(CarriedOver::foundNothing).orElse(true);
    }

    /** Whether what was read comes from the flask that is known to be wrong there. */
    boolean isOfWrongFlask(int row, int column) {
        Determination d = table.at(row, column);
        return standard.isPresent()
                && standard.get().name().equals(d.identity())
                && standard.get().where().contains(new Lane(column, channel(d)));
    }

    /** A reading without what the causes that are found did to it, in the unit of its amount; as it is where none did anything. */
    double corrected(int row, int column) {
        Determination d = table.at(row, column);
        double perUnit = inTube(d);
        double carried = carriedOver
                .map(one -> isSolution(d) ? one.carried(row, column) : one.change(row, column))
                .orElse(0.0);
        double added = isSolution(d) ? 0 : interferences.added(row, column);
        double value = d.amount().raw() - (carried == 0 ? 0 : carried / perUnit) - added;
        Lane lane = new Lane(column, channel(d));
        if (standard.isEmpty() || !standard.get().where().contains(lane)) {
            return value;
        }
        // What a wrong standard does to nothing it does to the blank as well, and that is taken off a soil.
        double nothing =
                !isSolution(d) && extract.filter(Extraction::subtractBlank).isPresent()
                        ? standard.get().corrected(lane, 0)
                        : 0;
        return (standard.get().corrected(lane, value * perUnit) - nothing) / perUnit;
    }

    private static boolean isSolution(Determination d) {
        return d.role() == Role.STANDARD || d.role() == Role.VERIFICATION || d.role() == Role.BLANK;
    }

    private String channel(Determination d) {
        return extract.isPresent() ? "" : d.channel();
    }

    // What one unit of the amount is in what was read: mg/L in the tube for a soil's content.
    private double inTube(Determination d) {
        return !isSolution(d) && extract.isPresent() ? 1 / extract.get().content(1, 0, d.dilution()) : 1;
    }
}
