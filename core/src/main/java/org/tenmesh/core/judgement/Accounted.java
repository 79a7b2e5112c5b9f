package org.tenmesh.core.judgement;

import java.util.Optional;
import org.tenmesh.core.methods.ExtractionMethod;
import org.tenmesh.core.reduction.Determination;
import org.tenmesh.core.reduction.Role;

/**
 * What causes already found do to every reading of a run, so that a check which fails for their sake is not taken for a cause of its
 * own.
 */
final class Accounted {
    private final RunTable table;
    private final Optional<WrongStandard.Found> standard;

    Accounted(RunTable table, Optional<WrongStandard.Found> standard) {
        this.table = table;
        this.standard = standard;
    }

    /** A reading without what the causes that are found did to it, in the unit of its amount; as it is where none did anything. */
    double corrected(int row, int column) {
        Determination d = table.at(row, column);
        double value = d.amount().raw();
        if (standard.isEmpty() || !standard.get().where().contains(new Lane(column, channel(d)))) {
            return value;
        }
        double perUnit = inTube(d);
        return standard.get().corrected(new Lane(column, channel(d)), value * perUnit) / perUnit;
    }

    private String channel(Determination d) {
        return table.method() instanceof ExtractionMethod ? "" : d.channel();
    }

    // What one unit of the amount is in what was read: mg/L in the tube for a soil's content.
    private double inTube(Determination d) {
        boolean solution = d.role() == Role.STANDARD || d.role() == Role.VERIFICATION || d.role() == Role.BLANK;
        return !solution && table.method() instanceof ExtractionMethod extraction
                ? 1 / extraction.extraction().content(1, 0, d.dilution())
                : 1;
    }
}
