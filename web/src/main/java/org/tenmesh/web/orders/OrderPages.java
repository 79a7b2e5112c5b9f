package org.tenmesh.web.orders;

import java.time.Instant;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.planning.NextRun;
import org.tenmesh.store.orders.KeptOrder;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.cards.GateRow;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.Words;

/** Run orders: made, looked at, taken to the instrument as a file, cancelled until they were read. */
public final class OrderPages {
    private static final int MOST_LISTED = 50;
    private static final Set<PersonRole> MAKE =
            Set.copyOf(EnumSet.of(PersonRole.IN_CHARGE, PersonRole.QUALITY, PersonRole.BENCH));

    private OrderPages() {}

    public static List<Route> routes(PageContext context) {
        return List.of(
                Route.get(
                        "/orders",
                        Rights.TRAYS,
                        visit -> PageContext.withDay(visit, desk -> list(context, visit, desk, List.of(), 200))),
                Route.get(
                        "/orders/{order}",
                        Rights.TRAYS,
                        visit -> PageContext.withDay(visit, desk -> one(context, visit, desk))),
                Route.get(
                        "/orders/{order}/file",
                        Rights.TRAYS,
                        visit -> PageContext.withDay(visit, desk -> file(context, visit, desk))),
                Route.post(
                        "/orders/make", MAKE, visit -> PageContext.withDay(visit, desk -> make(context, visit, desk))),
                Route.post("/orders/cancel", MAKE, visit -> cancel(context, visit)));
    }

    /**
     * What waits for one instrument and method.
     *
     * @param instrument empty text where none is known
     * @param shut what shuts the instrument, one sentence each
     */
    public record StationLine(
            String instrument, String methodId, String method, int waiting, String again, List<String> shut) {}

    private static Answer list(PageContext context, Visit visit, Desk desk, List<String> refused, int status) {
        List<KeptOrder> kept = context.store().runOrders(MOST_LISTED);
        List<GateRow> gates = GateRow.of(desk);
        List<StationLine> stations = new NextOrders(context, desk, visit.open(), kept)
                .stations().stream()
                        .map(station -> new StationLine(
                                station.instrument(),
                                station.method().id(),
                                station.method().head().title(),
                                station.waiting(),
                                station.again() == 0 ? "" : Words.count(station.again()) + " again",
                                gates.stream()
                                        .filter(gate -> gate.instrument().equals(station.instrument()))
                                        .flatMap(gate -> gate.shutSays().stream())
                                        .toList()))
                        .toList();
        return new Answer.Shown(
                status,
                "run-orders",
                "Run orders",
                Map.of(
                        "stations",
                        stations,
                        "orders",
                        kept.stream().map(one -> OrderView.line(desk, one)).toList(),
                        "refused",
                        refused,
                        "mayMake",
                        visit.may(MAKE)));
    }

    private static Answer one(PageContext context, Visit visit, Desk desk) {
        return context.store()
                .runOrder(visit.part("order"))
                .map(kept -> Answer.shown(
                        "run-order",
                        "Run order " + kept.order().name(),
                        Map.of(
                                "order",
                                OrderView.of(desk, kept),
                                "mayCancel",
                                kept.open() && visit.may(MAKE),
                                "run",
                                desk.run(kept.order().name()).isPresent() && visit.may(Rights.FLOOR)
                                        ? "/runs/" + Words.part(kept.order().name())
                                        : "")))
                .orElseGet(Answer::notFound);
    }

    private static Answer file(PageContext context, Visit visit, Desk desk) {
        return context.store()
                .runOrder(visit.part("order"))
                .<Answer>map(kept -> new Answer.Download(
                        OrderView.of(desk, kept).csv(),
                        "text/csv",
                        "order-" + kept.order().name() + ".csv"))
                .orElseGet(Answer::notFound);
    }

    private static Answer make(PageContext context, Visit visit, Desk desk) {
        if (!visit.newest()) {
            return Answer.refused(409, "Not done", "Run orders are made of what waits on the newest day.");
        }
        Optional<Method> method = desk.methods().find(visit.form("method"));
        String instrument = visit.form("instrument");
        NextOrders orders =
                new NextOrders(context, desk, visit.open(), context.store().runOrders(MOST_LISTED));
        if (method.isEmpty() || !orders.instruments(method.get().id()).contains(instrument)) {
            return Answer.refused(
                    409,
                    "Not done",
                    "No instrument of this name has read this method on the last days. Nothing was made.");
        }
        List<String> refuses = GateRow.of(desk).stream()
                .filter(gate -> gate.instrument().equals(instrument) && gate.isRefused())
                .flatMap(gate -> gate.shutSays().stream())
                .toList();
        if (!refuses.isEmpty()) {
            return list(context, visit, desk, refuses, 409);
        }
        Instant now = context.clock().instant();
        NextRun.Made made = orders.next(instrument, method.get(), now);
        if (made.order().isEmpty()) {
            return list(context, visit, desk, made.refused(), 409);
        }
        context.store().keep(made.order().get(), visit.actor());
        return Answer.moved("/orders/" + Words.part(made.order().get().name()));
    }

    private static Answer cancel(PageContext context, Visit visit) {
        context.store()
                .cancelRunOrder(
                        visit.form("order"),
                        visit.form("reason"),
                        visit.actor(),
                        context.clock().instant());
        return Answer.moved("/orders");
    }
}
