package org.tenmesh.web.words;

import java.util.List;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.desk.Promise;
import org.tenmesh.core.desk.TrayState;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.print.drawings.PlateDrawing;
import org.tenmesh.print.drawings.SmallDrawings;
import org.tenmesh.print.svg.Palette;

/** The house's drawings, filled from the day. */
public final class Pictures {
    private Pictures() {}

    /**
     * A tray.
     *
     * @param verdicts whether the viewer may see verdicts; when not, a well is read or waits, nothing else
     */
    public static String plate(TrayState tray, int width, boolean verdicts) {
        List<PlateDrawing.WellState> wells = tray.wells().stream()
                .map(w -> switch (w) {
                    case EMPTY, KEY -> PlateDrawing.WellState.EMPTY;
                    case UNREAD -> PlateDrawing.WellState.WAITING;
                    case FIT -> PlateDrawing.WellState.DONE;
                    case HOLD -> verdicts ? PlateDrawing.WellState.HOLD : PlateDrawing.WellState.DONE;
                    case REDO -> verdicts ? PlateDrawing.WellState.REDO : PlateDrawing.WellState.DONE;
                })
                .toList();
        int key = tray.wells().indexOf(TrayState.WellState.KEY);
        return PlateDrawing.of(
                new PlateDrawing.Plate(
                        tray.name(), wells, key < 0 ? OptionalInt.empty() : OptionalInt.of(key), tray.regulated()),
                width,
                Palette.SCREEN);
    }

    public static String track(String title, double share, Verdict verdict) {
        return SmallDrawings.track(title, share, verdict, 320, Palette.SCREEN);
    }

    public static String box(Promise promise) {
        return SmallDrawings.submissionBar(
                promise.submission().submission(), promise.soils(), false, Verdict.FIT, Palette.SCREEN);
    }

    /** An instrument's gates in their order; a gate that said nothing waits. What a person shut is said beside them: no check failed by that. */
    public static String gates(String instrument, List<GateOutcome> gates) {
        List<SmallDrawings.Light> lights = new java.util.ArrayList<>();
        for (Gate gate : Gate.values()) {
            // Only where sample follows sample in one stream is there anything to carry over.
            if (gate == Gate.CARRY_OVER && gates.stream().noneMatch(g -> g.gate() == gate)) {
                continue;
            }
            SmallDrawings.LightState state = SmallDrawings.LightState.WAITING;
            for (GateOutcome outcome : gates) {
                if (outcome.gate() == gate) {
                    boolean open = outcome.open() && state != SmallDrawings.LightState.SHUT;
                    state = open ? SmallDrawings.LightState.OPEN : SmallDrawings.LightState.SHUT;
                }
            }
            if (state == SmallDrawings.LightState.WAITING && gate.isOfFlowAlone()) {
                continue;
            }
            lights.add(new SmallDrawings.Light(gate, state));
        }
        return SmallDrawings.gates(instrument, lights, false, Palette.SCREEN);
    }

    /** A result on its analyte's plain scale. */
    public static String scale(Result result, Analyte analyte) {
        double span = analyte.scaleHigh() - analyte.scaleLow();
        double raw = result.amount().raw();
        boolean below = result.amount() instanceof Amount.Below;
        OptionalDouble share = Double.isNaN(raw) || result.amount() instanceof Amount.Missing
                ? OptionalDouble.empty()
                : OptionalDouble.of((raw - analyte.scaleLow()) / span);
        OptionalDouble limit = analyte.reportingLimit().isPresent()
                ? OptionalDouble.of((analyte.reportingLimit().getAsDouble() - analyte.scaleLow()) / span)
                : OptionalDouble.empty();
        return SmallDrawings.scale(
                result.reported() + " " + analyte.unit().spelling(), share, limit, below, 120, Palette.SCREEN);
    }
}
