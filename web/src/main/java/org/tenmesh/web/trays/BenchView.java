package org.tenmesh.web.trays;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.RedoOrder;
import org.tenmesh.core.desk.TrayState;
import org.tenmesh.core.desk.Work;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.layout.Portions;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.print.drawings.PlateDrawing;
import org.tenmesh.print.svg.Palette;
import org.tenmesh.web.cards.GateRow;
import org.tenmesh.web.cards.OpenDay;
import org.tenmesh.web.words.DayAddress;
import org.tenmesh.web.words.Words;

/**
 * The one thing to do now with a tray, and what else its soils need. Made from the trays, from which methods have read them and
 * from redo orders alone: it shows no result, verdict or submission and never looks at the sealed key. What is needed follows the
 * tray as a whole, so a hidden control asks for what its neighbours ask for.
 *
 * @param big the thing itself, a few words
 * @param liquid what is poured onto the soil; empty when nothing is
 * @param then what follows it
 * @param portions everything the tray's soils need, in order
 * @param shut instruments of the method whose gates are shut, so that nothing goes on them; one sentence each
 * @param wells every well with its lab number, in well order
 */
public record BenchView(
        String tray,
        boolean regulated,
        String method,
        String methodHref,
        String big,
        String liquid,
        List<String> then,
        List<String> cautions,
        String why,
        List<String> shut,
        List<PortionLine> portions,
        String picture,
        List<WellLine> wells) {

    /**
     * One portion of every well.
     *
     * @param word "done", "now" or "waits"
     */
    public record PortionLine(String word, String big, String what) {}

    /** One well. */
    public record WellLine(String well, String labNumber, String says) {}

    /** One tray in the bench's list. */
    public record Line(String tray, String href, String says, boolean ordered, boolean regulated) {}

    static List<Line> list(Desk desk) {
        List<RedoOrder> orders = RedoOrder.of(desk);
        List<Line> lines = new ArrayList<>();
        for (Tray tray : desk.day().trays()) {
            Optional<RedoOrder> order = open(orders, tray.tray());
            Optional<Method> next = next(desk, tray);
            if (order.isPresent() || next.isPresent()) {
                lines.add(new Line(
                        tray.tray(),
                        "/bench/" + Words.part(tray.tray()),
                        order.map(o -> o.work().word() + ": " + desk.methodTitle(o.method()))
                                .or(() -> next.map(m -> m.head().title()))
                                .orElse(""),
                        order.isPresent(),
                        regulated(desk, tray)));
            }
        }
        lines.sort((a, b) -> Boolean.compare(b.ordered(), a.ordered()));
        return lines;
    }

    /** Trays of earlier days that are still to be made again. */
    static List<Line> earlier(List<OpenDay> open, Desk desk) {
        return open.stream()
                .flatMap(day -> day.orders().stream()
                        .map(order -> new Line(
                                order.tray(),
                                DayAddress.on(day.day(), "/bench/" + Words.part(order.tray())),
                                "of " + day.title() + ", " + order.work().word() + ": "
                                        + desk.methodTitle(order.method()),
                                true,
                                day.regulated().contains(order.tray()))))
                .toList();
    }

    private static Optional<RedoOrder> open(List<RedoOrder> orders, String tray) {
        return orders.stream().filter(o -> o.tray().equals(tray) && !o.done()).findFirst();
    }

    /** The first method that the tray's soils are asked for and under which nothing of it was read. */
    private static Optional<Method> next(Desk desk, Tray tray) {
        Set<String> lacking = new LinkedHashSet<>(
                desk.trayState(tray.tray()).map(TrayState::lacking).orElse(List.of()));
        return desk.askedOf(tray).stream()
                .filter(lacking::contains)
                .flatMap(id -> desk.methods().find(id).stream())
                .findFirst();
    }

    private static List<PortionLine> portions(Desk desk, Tray tray, Optional<Method> now) {
        Set<String> lacking = new LinkedHashSet<>(
                desk.trayState(tray.tray()).map(TrayState::lacking).orElse(List.of()));
        String name = now.map(Portions::name).orElse("");
        return Portions.of(List.copyOf(desk.askedOf(tray)), desk.methods()).stream()
                .map(p -> new PortionLine(
                        p.name().equals(name)
                                ? "now"
                                : p.methods().stream().anyMatch(m -> lacking.contains(m.id())) ? "waits" : "done",
                        withLiquid(p.methods().get(0)),
                        String.join(
                                ", then ",
                                p.methods().stream().map(m -> m.head().title()).toList())))
                .toList();
    }

    /** What is read from the same portion besides, so that nobody takes it twice. */
    private static List<String> shared(Desk desk, Tray tray, Method now) {
        List<String> others = desk.askedOf(tray).stream()
                .flatMap(id -> desk.methods().find(id).stream())
                .filter(m -> !m.id().equals(now.id()) && Portions.name(m).equals(Portions.name(now)))
                .map(m -> m.head().title())
                .toList();
        return others.isEmpty()
                ? List.of()
                : List.of("Keep the vessels: the same portion serves " + Words.and(others) + ".");
    }

    private static Set<LabNumber> read(Desk desk, Tray tray, String method) {
        Set<String> identities = new HashSet<>();
        for (Run run : desk.day().runs()) {
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
    private static boolean regulated(Desk desk, Tray tray) {
        return desk.trayState(tray.tray()).map(TrayState::regulated).orElse(false);
    }

    static BenchView of(Desk desk, Tray tray) {
        Optional<RedoOrder> order = open(RedoOrder.of(desk), tray.tray());
        Optional<Method> method =
                order.flatMap(o -> desk.methods().find(o.method())).or(() -> next(desk, tray));
        Set<LabNumber> done = order.isPresent() || method.isEmpty()
                ? Set.of()
                : read(desk, tray, method.get().id());
        boolean finished = method.isEmpty();
        List<WellLine> wells = new ArrayList<>();
        List<PlateDrawing.WellState> states = new ArrayList<>();
        for (int i = 0; i < Well.PER_TRAY; i++) {
            states.add(PlateDrawing.WellState.EMPTY);
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
                            place.well().index(),
                            worked ? PlateDrawing.WellState.DONE : PlateDrawing.WellState.WAITING));
            wells.add(new WellLine(
                    place.well().toString(),
                    place.labNumber().map(LabNumber::text).orElse(""),
                    isKey
                            ? "key well: leave as it is"
                            : place.labNumber().isEmpty()
                                    ? "empty"
                                    : order.map(o -> says(o, place)).orElse("")));
        }
        String picture = PlateDrawing.of(
                new PlateDrawing.Plate(tray.tray(), states, key, regulated(desk, tray)), 420, Palette.SCREEN);
        return new BenchView(
                tray.tray(),
                regulated(desk, tray),
                method.map(m -> m.head().title()).orElse(""),
                method.map(m -> "/methods/" + Words.part(m.id())).orElse(""),
                method.map(BenchView::big).orElse("All read"),
                method.map(m -> m.head().liquid()).orElse(""),
                method.map(m -> then(m, shared(desk, tray, m)))
                        .orElse(List.of("Nothing to do with this tray now. Keep it covered until it is released.")),
                method.map(m -> m.head().cautions()).orElse(List.of()),
                order.map(o -> why(desk, o)).orElse(""),
                method.map(m -> shut(desk, m)).orElse(List.of()),
                portions(desk, tray, method),
                picture,
                wells);
    }

    private static String says(RedoOrder order, Tray.Place place) {
        boolean named = place.labNumber().filter(order.labNumbers()::contains).isPresent();
        return order.work() == Work.DILUTION && named ? "dilute " + Words.plain(order.dilution()) + " times" : "";
    }

    /** What the order asks for. Sentences about a cause never name a hidden control, nor the wells it is about. */
    private static String why(Desk desk, RedoOrder order) {
        String what = switch (order.work()) {
            case LOOK ->
                "Look first whether the empty key well is where it belongs and every soil in its well; then repeat the whole tray";
            case REDO -> "Redo: repeat the whole tray";
            case CHECK_READING ->
                "Check reading: read the kept extracts of the whole tray again and take nothing from the wells; where they are gone, repeat the whole tray";
            case DILUTION ->
                "Dilution: dilute the kept extracts of the wells named below " + Words.plain(order.dilution())
                        + " times with extractant; where they are gone, take new portions of these wells";
        };
        return what + " (ordered " + Words.moment(order.acted().at(), desk.zone()) + ")."
                + desk.cause(order.acted().cause())
                        .map(cause -> " " + cause.action())
                        .orElse("");
    }

    /** Instruments that have run the method on this day and may not run now. */
    private static List<String> shut(Desk desk, Method method) {
        Set<String> instruments = new HashSet<>();
        desk.day().runs().stream()
                .filter(run -> run.method().equals(method.id()))
                .forEach(run -> instruments.add(run.instrument()));
        return GateRow.of(desk).stream()
                .filter(gate -> instruments.contains(gate.instrument()))
                .flatMap(gate -> gate.shutSays().stream())
                .toList();
    }

    /** Mass and volume, as large as the hand needs them. */
    private static String big(Method method) {
        String amount = method.description().amount();
        if (!amount.isEmpty()) {
            return amount;
        }
        double soilG = method.head().portion().map(p -> p.soilG()).orElse(0.0);
        return soilG > 0 ? Words.plain(soilG) + " g soil" : method.head().title();
    }

    private static String withLiquid(Method method) {
        String liquid = method.head().liquid();
        return big(method) + (liquid.isEmpty() ? "" : ", " + liquid);
    }

    private static List<String> then(Method method, List<String> shared) {
        List<String> then = new ArrayList<>(method.description().steps());
        then.addAll(shared);
        then.add(method.head().summary());
        return then;
    }
}
