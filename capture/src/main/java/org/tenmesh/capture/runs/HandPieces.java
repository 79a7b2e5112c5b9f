package org.tenmesh.capture.runs;

import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.tenmesh.capture.pieces.Inbox;
import org.tenmesh.capture.pieces.Piece;
import org.tenmesh.capture.pieces.RunPart;
import org.tenmesh.capture.settings.Source;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/** Readings that somebody types, position by position. */
public final class HandPieces {
    private final Source source;
    private final Source.Hand way;
    private final Inbox inbox;
    private final ZoneId zone;

    /** @param source whose way is {@link Source.Hand} */
    public HandPieces(Source source, Inbox inbox, ZoneId zone) {
        this.source = source;
        this.way = (Source.Hand) source.way();
        this.inbox = inbox;
        this.zone = zone;
    }

    /**
     * What is to be typed next.
     *
     * @param run the run under way or the one that begins; empty text when its name is to be typed
     * @param underWay whether it has begun
     * @param position the position
     * @param place what the order says is there; empty without an order
     * @param positions how many the order has; 0 without an order
     * @param waiting orders among which somebody has to choose
     */
    public record Next(
            String run,
            boolean underWay,
            int position,
            Optional<RunOrder.Place> place,
            int positions,
            List<String> waiting) {
        public Next {
            waiting = List.copyOf(waiting);
        }
    }

    /**
     * What comes next.
     *
     * @param chosen the order or run that somebody chose; empty text when nobody did
     * @throws Inbox.NotNow when the store does not answer
     */
    public Next next(String chosen) {
        Optional<Run> underWay = inbox.underWay(source.instrument(), source.method());
        if (underWay.isPresent()) {
            Optional<RunOrder> order = order(underWay.get().run());
            Set<Integer> read = Rows.positions(underWay.get().readings());
            int position = 1;
            while (read.contains(position)) {
                position++;
            }
            return next(underWay.get().run(), true, position, order);
        }
        if (source.runs().order() == Source.Order.NONE) {
            return next(chosen, false, 1, Optional.empty());
        }
        List<RunOrder> waiting = inbox.waiting(source.instrument(), source.method());
        Optional<RunOrder> order = waiting.stream()
                .filter(one -> one.name().equals(chosen))
                .findFirst()
                .or(() -> waiting.size() == 1 ? Optional.of(waiting.get(0)) : Optional.empty());
        if (order.isEmpty() && waiting.size() > 1) {
            return new Next(
                    "",
                    false,
                    1,
                    Optional.empty(),
                    0,
                    waiting.stream().map(RunOrder::name).toList());
        }
        return next(order.map(RunOrder::name).orElse(chosen), false, 1, order);
    }

    private static Next next(String run, boolean underWay, int position, Optional<RunOrder> order) {
        return new Next(
                run,
                underWay,
                position,
                order.flatMap(one -> one.at(position)),
                order.map(one -> one.places().size()).orElse(0),
                List.of());
    }

    private Optional<RunOrder> order(String run) {
        return source.runs().order() == Source.Order.NONE ? Optional.empty() : inbox.order(run);
    }

    /**
     * The piece that the values of one position make.
     *
     * @param run the run's name
     * @param position the position, 1 or more
     * @param role what is there, where no order says it
     * @param identity its name, where no order says it
     * @param values one for each {@link Source.Asked quantity}, in that order
     * @param last whether it is the last position of the run
     * @throws Inbox.NotNow when the store does not answer
     */
    public Piece piece(
            String run,
            int position,
            Role role,
            String identity,
            List<Double> values,
            boolean last,
            String person,
            Instant now) {
        Optional<RunOrder> order = order(run);
        Role its =
                order.flatMap(one -> one.at(position)).map(RunOrder.Place::role).orElse(role);
        String who = order.flatMap(one -> one.at(position))
                .map(RunOrder.Place::identity)
                .orElse(identity);
        double dilution = order.flatMap(one -> one.at(position))
                .map(RunOrder.Place::dilution)
                .orElse(1.0);
        OffsetDateTime at = now.atZone(zone).toOffsetDateTime();
        Optional<Run> underWay = inbox.underWay(source.instrument(), source.method())
                .filter(one -> one.run().equals(run));
        Readings.Builder readings = Readings.builder();
        List<String> lines = new ArrayList<>(List.of("position,role,identity,quantity,value,unit,at,run"));
        for (int i = 0; i < way.asked().size(); i++) {
            Source.Asked asked = way.asked().get(i);
            readings.add(position, its, who, "", asked.quantity(), values.get(i), asked.unit(), at, dilution);
            lines.add(position + "," + its.word() + "," + quoted(who) + "," + asked.quantity() + "," + values.get(i)
                    + "," + asked.unit().ucum() + "," + at + "," + quoted(run));
        }
        Piece piece = Piece.of(
                        source.name(),
                        run + " " + underWay.map(Run::startedAt).orElse(at) + " position " + position,
                        "position " + position + " of " + run,
                        now,
                        (String.join("\n", lines) + "\n").getBytes(StandardCharsets.UTF_8))
                .by(person);
        if (underWay.map(Run::readings)
                .filter(read -> Rows.positions(read).contains(position))
                .isPresent()) {
            return piece.aside("position " + position + " of run " + run
                    + " was typed before: what was typed stays; expected the next position");
        }
        Set<Integer> read =
                new TreeSet<>(underWay.map(Run::readings).map(Rows::positions).orElse(Set.of()));
        read.add(position);
        boolean ends =
                last || order.filter(one -> read.size() == one.places().size()).isPresent();
        Run head = underWay.orElseGet(() -> new Run(
                RunNames.fill(run, Map.of()),
                source.method(),
                source.instrument(),
                Optional.of(person),
                at,
                Readings.builder().build()));
        return piece.adds(List.of(new RunPart(head.with(readings.build()), ends)));
    }

    private static String quoted(String text) {
        return text.matches("[^,\"\r\n]*") ? text : '"' + text.replace("\"", "\"\"") + '"';
    }
}
