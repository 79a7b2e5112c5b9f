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
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.print.Drawings;
import org.tenmesh.print.Palette;

/** The house's drawings, filled from the day. */
public final class Pictures {
    private Pictures() {}

    /**
     * A tray.
     *
     * @param verdicts whether the viewer may see verdicts; when not, a well is read or waits, nothing else
     */
    public static String plate(TrayState tray, int width, boolean verdicts) {
        List<Drawings.WellState> wells = tray.wells().stream()
                .map(w -> switch (w) {
                    case EMPTY, KEY -> Drawings.WellState.EMPTY;
                    case UNREAD -> Drawings.WellState.WAITING;
                    case FIT -> Drawings.WellState.DONE;
                    case HOLD -> verdicts ? Drawings.WellState.HOLD : Drawings.WellState.DONE;
                    case REDO -> verdicts ? Drawings.WellState.REDO : Drawings.WellState.DONE;
                })
                .toList();
        int key = tray.wells().indexOf(TrayState.WellState.KEY);
        return Drawings.plate(
                new Drawings.Plate(
                        tray.name(), wells, key < 0 ? OptionalInt.empty() : OptionalInt.of(key), tray.regulated()),
                width,
                Palette.SCREEN);
    }

    public static String track(String title, double share, Verdict verdict) {
        return Drawings.track(title, share, verdict, 320, Palette.SCREEN);
    }

    public static String box(Promise promise) {
        return Drawings.submissionBar(
                promise.submission().submission(), promise.soils(), false, Verdict.FIT, Palette.SCREEN);
    }

    /** An instrument's gates in their order; a gate that said nothing waits. */
    public static String gates(String instrument, List<GateOutcome> gates, boolean shutByHand) {
        List<Drawings.Light> lights = new java.util.ArrayList<>();
        for (GateOutcome.Gate gate : GateOutcome.Gate.values()) {
            // Only where sample follows sample in one stream is there anything to carry over.
            if (gate == GateOutcome.Gate.CARRY_OVER && gates.stream().noneMatch(g -> g.gate() == gate)) {
                continue;
            }
            Drawings.LightState state = Drawings.LightState.WAITING;
            for (GateOutcome outcome : gates) {
                if (outcome.gate() == gate) {
                    boolean open = outcome.open() && state != Drawings.LightState.SHUT;
                    state = open ? Drawings.LightState.OPEN : Drawings.LightState.SHUT;
                }
            }
            if (state == Drawings.LightState.WAITING && gate.isOfFlowAlone()) {
                continue;
            }
            lights.add(new Drawings.Light(gate, shutByHand ? Drawings.LightState.SHUT : state));
        }
        return Drawings.gates(instrument, lights, false, Palette.SCREEN);
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
        return Drawings.scale(
                result.reported() + " " + analyte.unit().spelling(), share, limit, below, 120, Palette.SCREEN);
    }
}
