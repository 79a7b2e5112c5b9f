package org.tenmesh.web;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.print.Drawings;
import org.tenmesh.print.Palette;

/**
 * The one thing to do now with a tray. Made from the trays, from which methods have read them and from redo orders alone: it
 * shows no result, verdict or submission and never looks at the sealed key.
 *
 * @param big the thing itself, a few words
 * @param then what follows it
 * @param wells every well with its lab number, in well order
 */
record BenchView(
        String tray,
        boolean regulated,
        String method,
        String methodHref,
        String big,
        List<String> then,
        List<String> cautions,
        String why,
        String picture,
        List<WellLine> wells) {

    /** One well. */
    record WellLine(String well, String labNumber, String says) {}

    /** One tray in the bench's list. */
    record Line(String tray, String href, String says, boolean ordered, boolean regulated) {}

    static List<Line> list(Floor floor) {
        List<RedoOrder> orders = RedoOrder.of(floor);
        List<Line> lines = new ArrayList<>();
        for (Tray tray : floor.day().trays()) {
            Optional<RedoOrder> order = open(orders, tray.tray());
            Optional<Method> next = next(floor, tray);
            if (order.isPresent() || next.isPresent()) {
                lines.add(new Line(
                        tray.tray(),
                        "/bench/" + Words.part(tray.tray()),
                        order.map(o -> "again: " + floor.methodTitle(o.method()))
                                .or(() -> next.map(m -> m.head().title()))
                                .orElse(""),
                        order.isPresent(),
                        regulated(floor, tray)));
            }
        }
        lines.sort((a, b) -> Boolean.compare(b.ordered(), a.ordered()));
        return lines;
    }

    private static Optional<RedoOrder> open(List<RedoOrder> orders, String tray) {
        return orders.stream().filter(o -> o.tray().equals(tray) && !o.done()).findFirst();
    }

    /** The first method that the tray's soils are asked for and under which nothing of it was read. */
    private static Optional<Method> next(Floor floor, Tray tray) {
        Optional<TrayState> state = floor.trayState(tray.tray());
        Set<String> lacking = new LinkedHashSet<>(state.map(TrayState::lacking).orElse(List.of()));
        if (lacking.isEmpty()
                && state.filter(s -> s.station() == Station.LAYOUT).isPresent()) {
            // Nothing of its packages has been read today, so the day does not say yet what they ask for.
            lacking.addAll(floor.methods().keySet());
        }
        return floor.methods().values().stream()
                .filter(m -> lacking.contains(m.id()))
                .findFirst();
    }

    private static Set<LabNumber> read(Floor floor, Tray tray, String method) {
        Set<String> identities = new HashSet<>();
        for (Run run : floor.day().runs()) {
            if (run.method().equals(method)) {
                identities.addAll(run.readings().identities());
            }
        }
        Set<LabNumber> read = new HashSet<>();
        for (Tray.Place place : tray.wells()) {
            place.labNumber().filter(l -> identities.contains(l.text())).ifPresent(read::add);
        }
        return read;
    }

    /** Whether any soil of the tray is regulated: then all of it is kept apart. */
    private static boolean regulated(Floor floor, Tray tray) {
        return floor.trayState(tray.tray()).map(TrayState::regulated).orElse(false);
    }

    static BenchView of(Floor floor, Tray tray) {
        Optional<RedoOrder> order = open(RedoOrder.of(floor), tray.tray());
        Optional<Method> method = order.flatMap(
                        o -> Optional.ofNullable(floor.methods().get(o.method())))
                .or(() -> next(floor, tray));
        Set<LabNumber> done = order.isPresent() || method.isEmpty()
                ? Set.of()
                : read(floor, tray, method.get().id());
        boolean finished = method.isEmpty();
        List<WellLine> wells = new ArrayList<>();
        List<Drawings.WellState> states = new ArrayList<>();
        for (int i = 0; i < Well.PER_TRAY; i++) {
            states.add(Drawings.WellState.EMPTY);
        }
        OptionalInt key = OptionalInt.empty();
        for (Tray.Place place : tray.wells()) {
            boolean isKey = place.purpose() == Tray.Purpose.KEY;
            if (isKey) {
                key = OptionalInt.of(place.well().index());
            }
            boolean worked =
                    finished || place.labNumber().filter(done::contains).isPresent();
            place.labNumber()
                    .ifPresent(l -> states.set(
                            place.well().index(), worked ? Drawings.WellState.DONE : Drawings.WellState.WAITING));
            wells.add(new WellLine(
                    place.well().toString(),
                    place.labNumber().map(LabNumber::text).orElse(""),
                    isKey ? "key well: leave as it is" : place.labNumber().isEmpty() ? "empty" : ""));
        }
        String picture = Drawings.plate(
                new Drawings.Plate(tray.tray(), states, key, regulated(floor, tray)), 420, Palette.SCREEN);
        return new BenchView(
                tray.tray(),
                regulated(floor, tray),
                method.map(m -> m.head().title()).orElse(""),
                method.map(m -> "/methods/" + Words.part(m.id())).orElse(""),
                method.map(BenchView::big).orElse("All read"),
                method.map(BenchView::then)
                        .orElse(List.of("Nothing to do with this tray now. Keep it covered until it is released.")),
                method.map(m -> m.head().cautions()).orElse(List.of()),
                order.map(o -> "The whole tray is to be made again, ordered at "
                                + Words.time(o.acted().at(), floor.zone()) + ".")
                        .orElse(""),
                picture,
                wells);
    }

    private static String big(Method method) {
        if (method instanceof ElectrodeMethod m) {
            return Words.plain(m.soilG()) + " g soil + " + Words.plain(m.liquidMl()) + " mL";
        }
        if (method instanceof EmissionMethod m) {
            return m.extraction().basis() == Extraction.Basis.VOLUME
                    ? Words.plain(m.extraction().scoopMl()) + " mL scoop"
                    : Words.plain(m.extraction().soilG()) + " g scoop";
        }
        if (method instanceof IgnitionMethod m) {
            return "Dry " + Words.plain(m.dryHours()) + " h at " + Words.plain(m.dryCelsius()) + " °C";
        }
        return method.head().title();
    }

    private static List<String> then(Method method) {
        List<String> then = new ArrayList<>();
        if (method instanceof EmissionMethod m) {
            then.add("Level, no tapping, one vessel for each well, in well order from A1.");
            then.add("Then " + Words.plain(m.extraction().extractMl()) + " mL extractant into every vessel.");
        } else if (method instanceof ElectrodeMethod m) {
            then.add("One vessel for each well, in well order from A1.");
            then.add("The head reads " + m.probes() + " vessels at a time; rinse between.");
        } else if (method instanceof IgnitionMethod m) {
            then.add("Weigh the empty crucible, then " + Words.plain(m.leastDrySoilG()) + " to "
                    + Words.plain(m.mostDrySoilG()) + " g dry soil, in well order from A1.");
            then.add("Then " + Words.plain(m.ashHours()) + " h at " + Words.plain(m.ashCelsius())
                    + " °C and weigh again on the same balance.");
        }
        then.add(method.head().summary());
        return then;
    }
}
