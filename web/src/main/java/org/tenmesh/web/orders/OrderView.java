package org.tenmesh.web.orders;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.orders.ReadAsOrdered;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.planning.Solutions;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.print.tables.TableFiles;
import org.tenmesh.store.orders.KeptOrder;
import org.tenmesh.web.words.Words;

/**
 * A run order on its page and in its file: the same for everybody, because a hidden control stands in it as the ordinary lab number that it
 * carries.
 *
 * @param state what became of it, one sentence
 * @param open whether it may be cancelled
 * @param soils how many lab numbers it reads, duplicates not counted
 * @param lane what reads places side by side, such as "probe"; empty where one calibration holds for the run
 * @param differences where a run of its name was not read as ordered
 */
public record OrderView(
        String name,
        String method,
        String instrument,
        String made,
        String state,
        boolean open,
        int soils,
        String lane,
        List<PlaceLine> places,
        List<ReadAsOrdered.Difference> differences) {
    private static final List<String> COLUMNS =
            List.of("position", "role", "identity", "channel", "dilution", "portion");

    public OrderView {
        places = List.copyOf(places);
        differences = List.copyOf(differences);
    }

    /**
     * One position.
     *
     * @param channel probe, cell or line; empty text where one calibration holds for the run
     * @param portion "first", "again", or empty text for what is no soil
     */
    public record PlaceLine(
            int position, String role, String identity, String channel, String dilution, String portion) {
        private List<String> cells() {
            return List.of(Integer.toString(position), role, identity, channel, dilution, portion);
        }
    }

    /** One order in the list. */
    public record Line(
            String name, String method, String instrument, String made, int soils, String state, boolean open) {}

    static Line line(Desk desk, KeptOrder kept) {
        RunOrder order = kept.order();
        return new Line(
                order.name(),
                desk.methodTitle(order.method()),
                order.instrument(),
                Words.moment(order.madeAt().toInstant(), desk.zone()) + " by " + kept.actor(),
                soils(order),
                state(desk, kept),
                kept.open());
    }

    static OrderView of(Desk desk, KeptOrder kept) {
        RunOrder order = kept.order();
        Optional<Method> method = desk.methods().find(order.method());
        Optional<Run> run = desk.run(order.name()).filter(its -> its.method().equals(order.method()));
        return new OrderView(
                order.name(),
                desk.methodTitle(order.method()),
                order.instrument(),
                Words.moment(order.madeAt().toInstant(), desk.zone()) + " by " + kept.actor(),
                state(desk, kept),
                kept.open(),
                soils(order),
                method.flatMap(Method::channel).map(channel -> channel.noun()).orElse(""),
                places(order, method),
                run.map(its -> ReadAsOrdered.of(order, its.readings(), !its.underWay())
                                .differences())
                        .orElse(List.of()));
    }

    private static int soils(RunOrder order) {
        return (int) order.places().stream()
                .filter(place -> place.role() == Role.SAMPLE)
                .count();
    }

    private static List<PlaceLine> places(RunOrder order, Optional<Method> method) {
        boolean side = method.flatMap(Method::channel).isPresent();
        List<Integer> lanes = side ? order.lanes(Solutions.lanes(order)) : List.of();
        List<PlaceLine> lines = new ArrayList<>();
        for (RunOrder.Place place : order.places()) {
            boolean soil = place.role() == Role.SAMPLE || place.role() == Role.DUPLICATE;
            lines.add(new PlaceLine(
                    place.position(),
                    place.role().word(),
                    place.identity(),
                    side ? Integer.toString(lanes.get(place.position() - 1)) : "",
                    Words.plain(place.dilution()),
                    !soil ? "" : place.again() ? "again" : place.role() == Role.DUPLICATE ? "second" : "first"));
        }
        return lines;
    }

    private static String state(Desk desk, KeptOrder kept) {
        if (kept.cancelled().isPresent()) {
            KeptOrder.Cancelled its = kept.cancelled().get();
            return "cancelled " + Words.moment(its.at(), desk.zone()) + " by " + its.actor() + ": " + its.reason();
        }
        RunOrder order = kept.order();
        Optional<Run> run = desk.run(order.name());
        if (kept.read()) {
            return run.filter(Run::underWay).isPresent() ? "being read" : "read";
        }
        Set<String> missing = new HashSet<>(order.labNumbers());
        desk.day().runs().stream()
                .filter(one ->
                        one.method().equals(order.method()) && !one.startedAt().isBefore(order.madeAt()))
                .forEach(one -> one.readings().identities().forEach(missing::remove));
        return missing.isEmpty() ? "its soils were read under another name; cancel it" : "waits for its run";
    }

    /** The file for the instrument: CSV with the columns of docs/run-orders.md. */
    byte[] csv() {
        return TableFiles.csv(new TableFiles.Table(
                name, COLUMNS, places.stream().map(PlaceLine::cells).toList()));
    }
}
