package org.tenmesh.simulator.bench;

import java.util.List;
import java.util.Optional;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.simulator.numbers.Decimals;
import org.tenmesh.simulator.soils.ControlSoil;

/** What planting a fault has in common over the instruments. */
public final class Faults {
    /** Allowed difference of a check buffer, as the laboratory's standards say, pH. */
    public static final double PH_TOLERANCE = 0.10;
    /** Allowed difference of a check solution, as the laboratory's standards say, a fraction. */
    public static final double SOLUTION_TOLERANCE = 0.10;

    private Faults() {}

    /** Checks passed since one of them, in whole steps at checks and evenly between; goes on after the last. */
    public static double checksSince(List<Integer> checks, int onset, int position) {
        int i = onset;
        while (i + 1 < checks.size() && checks.get(i + 1) <= position) {
            i++;
        }
        double done = (double) i - onset;
        if (i + 1 < checks.size()) {
            done += (position - checks.get(i)) / (double) (checks.get(i + 1) - checks.get(i));
        }
        return done;
    }

    /** Whether a control soil is another one than the fault puts in its place; one asked for by its position always is. */
    public static boolean canBeMistaken(Fault fault, String intended) {
        return fault.position().isPresent() || !fault.key("material").equals(Optional.of(intended));
    }

    /** The control soil that is taken for another: the one asked for, or the next of the four. */
    public static ControlSoil mistakenFor(Fault fault, String intended) {
        List<ControlSoil> all = ControlSoil.ALL;
        ControlSoil other = fault.key("material")
                .map(ControlSoil::named)
                .orElseGet(() -> all.get((all.indexOf(ControlSoil.named(intended)) + 1) % all.size()));
        if (other.name().equals(intended)) {
            throw new IllegalArgumentException("fault " + fault.kind().word() + ": the well is to hold " + intended
                    + " anyway, expected another material");
        }
        return other;
    }

    /** A number of percent as it stands in a story. */
    public static String percent(double fraction) {
        return Decimals.places(100 * fraction, 1) + " %";
    }

    /** Notes a fault of one soil: both its portions where it has two. */
    public static void oneSoil(
            RunSheet sheet, CauseKind kind, List<String> analytes, String identity, double size, String story) {
        List<Integer> places = sheet.positions(v -> v.identity.equals(identity) && v.isSoil());
        int sample = sheet.firstPosition(identity);
        RunSheet only = new RunSheet(sheet.plan);
        for (int p = 1; p <= sheet.size(); p++) {
            Vessel vessel = sheet.at(p);
            only.vessels.add(vessel.identity.equals(identity) ? vessel : new Vessel(Role.WASH, "", Optional.empty()));
        }
        only.touched(kind, analytes, 0, sample, places.get(places.size() - 1), size, story);
        sheet.planted.addAll(only.planted);
    }
}
