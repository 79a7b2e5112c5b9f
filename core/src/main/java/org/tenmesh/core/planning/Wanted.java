package org.tenmesh.core.planning;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.RedoOrder;
import org.tenmesh.core.desk.TrayState;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.reduction.Run;

/**
 * One vessel that a method waits for. A hidden control is one like any other, because trays are taken as a whole.
 *
 * @param dilution how many times the extract is to be diluted beyond what the method says; 1 = not
 * @param again whether an order asks for a soil that was read before; the order of its tray says whether a new portion or the kept extract is read
 */
public record Wanted(LabNumber labNumber, double dilution, boolean again) {

    /**
     * Every vessel that waits for a method: first what an order asks to be read again, by tray, then what was never read, in the order of the
     * trays, and clients' water, which stands in no tray.
     *
     * @param planned lab numbers that an open run order of the method holds already; they wait no longer
     */
    public static List<Wanted> of(Desk desk, String method, Set<String> planned) {
        List<Wanted> wanted = new ArrayList<>(ordered(RedoOrder.of(desk), method, planned));
        Set<String> taken = new HashSet<>(planned);
        wanted.forEach(one -> taken.add(one.labNumber().text()));
        for (Run run : desk.day().runs()) {
            if (run.method().equals(method)) {
                taken.addAll(run.readings().identities());
            }
        }
        for (TrayState state : desk.trayStates()) {
            Tray tray = state.tray();
            if (!desk.askedOf(tray).contains(method)) {
                continue;
            }
            List<LabNumber> inside = inside(tray);
            if (inside.stream().noneMatch(one -> asks(desk, one, method))) {
                continue;
            }
            for (LabNumber one : inside) {
                boolean own = desk.soil(one.text()).flatMap(Soil::submission).isPresent();
                if ((!own || asks(desk, one, method))
                        && !desk.tooLittleFor(one, method)
                        && desk.standing(one).stream()
                                .noneMatch(result -> result.method().equals(method) && result.position() > 0)
                        && taken.add(one.text())) {
                    wanted.add(new Wanted(one, 1, false));
                }
            }
        }
        for (Soil soil : desk.day().soils()) {
            LabNumber one = soil.labNumber();
            if (soil.matter() == Soil.Matter.WATER
                    && desk.methodsAsked(soil).contains(method)
                    && !desk.tooLittleFor(one, method)
                    && taken.add(one.text())) {
                wanted.add(new Wanted(one, 1, false));
            }
        }
        return wanted;
    }

    /** What these orders ask to be read again and no run has read since, by tray. */
    public static List<Wanted> ordered(List<RedoOrder> orders, String method, Set<String> planned) {
        List<Wanted> wanted = new ArrayList<>();
        Set<String> taken = new HashSet<>(planned);
        for (RedoOrder order : orders) {
            if (order.method().equals(method) && !order.done()) {
                for (LabNumber one : order.labNumbers()) {
                    if (taken.add(one.text())) {
                        wanted.add(new Wanted(one, order.dilution(), true));
                    }
                }
            }
        }
        return wanted;
    }

    private static List<LabNumber> inside(Tray tray) {
        return tray.wells().stream()
                .flatMap(place -> place.labNumber().stream())
                .toList();
    }

    private static boolean asks(Desk desk, LabNumber one, String method) {
        return desk.soil(one.text())
                .filter(soil -> desk.methodsAsked(soil).contains(method))
                .isPresent();
    }
}
