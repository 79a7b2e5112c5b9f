package org.tenmesh.web.capture;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.capture.Capture;
import org.tenmesh.capture.pieces.Inbox;
import org.tenmesh.capture.pieces.Piece;
import org.tenmesh.capture.runs.HandPieces;
import org.tenmesh.capture.settings.Source;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.Words;

/** Readings typed by hand, position by position. */
public final class HandPages {
    private static final Set<PersonRole> TYPE = Set.of(PersonRole.BENCH, PersonRole.IN_CHARGE, PersonRole.QUALITY);

    private HandPages() {}

    public static List<Route> routes(PageContext context) {
        return List.of(
                Route.get("/by-hand", TYPE, visit -> page(context, visit, 200, "", false)),
                Route.post("/by-hand", TYPE, visit -> typed(context, visit)));
    }

    /** A place where something is typed. */
    public record Place(String name, String href, String what) {}

    /** A field for a value. */
    public record Field(String name, String label, String value) {}

    /**
     * The form of one position.
     *
     * @param place what the order says is there; empty without an order
     * @param fields each quantity, each twice where that is asked
     */
    public record Form(
            String source,
            String run,
            boolean runFixed,
            int position,
            int positions,
            String place,
            List<Field> fields,
            List<String> waiting) {}

    private static Answer page(PageContext context, Visit visit, int status, String wrong, boolean keepTyped) {
        Optional<Capture> capture = context.capture();
        String named = visit.query("source").isEmpty() ? visit.form("source") : visit.query("source");
        Optional<Source> source = capture.stream()
                .flatMap(one -> one.byHand().stream())
                .filter(one -> one.name().equals(named))
                .findFirst();
        List<Place> places = capture.stream()
                .flatMap(one -> one.byHand().stream())
                .map(one -> new Place(
                        one.name(),
                        "/by-hand?source=" + Words.part(one.name()),
                        one.instrument() + ", " + title(context, one)))
                .toList();
        List<Form> forms = List.of();
        String told = wrong;
        if (source.isPresent()) {
            try {
                forms = List.of(form(capture.get(), source.get(), visit, keepTyped));
            } catch (Inbox.NotNow notNow) {
                told = "The store does not answer now. Nothing was taken; try again in a moment.";
            }
        }
        return new Answer.Shown(
                status,
                "by-hand",
                "By hand",
                Map.of("places", places, "forms", forms, "wrong", told, "done", visit.query("done")));
    }

    private static String title(PageContext context, Source source) {
        return context.methods().versions(source.method()).stream()
                .findFirst()
                .map(method -> method.head().title())
                .orElse(source.method());
    }

    private static Form form(Capture capture, Source source, Visit visit, boolean keepTyped) {
        String chosen = visit.query("run").isEmpty() ? visit.form("run") : visit.query("run");
        HandPieces.Next next = capture.typed(source).next(chosen);
        Source.Hand way = (Source.Hand) source.way();
        List<Field> fields = new ArrayList<>();
        for (int i = 0; i < way.asked().size(); i++) {
            Source.Asked asked = way.asked().get(i);
            String label = Words.sentence(asked.quantity().replace('_', ' ')) + ", "
                    + Words.unit(asked.unit().ucum());
            fields.add(new Field("value-" + i, label, keepTyped ? visit.form("value-" + i) : ""));
            if (way.twice()) {
                fields.add(new Field("again-" + i, label + ", once more", ""));
            }
        }
        return new Form(
                source.name(),
                next.run(),
                next.underWay() || next.place().isPresent(),
                next.position(),
                next.positions(),
                next.place().map(HandPages::place).orElse(""),
                fields,
                next.waiting());
    }

    /** What is at a position; a hidden control is a lab number like any other. */
    private static String place(RunOrder.Place place) {
        String what = place.role() == Role.SAMPLE ? "" : place.role().word() + " ";
        return what
                + place.identity()
                + (place.dilution() == 1 ? "" : ", diluted " + Words.plain(place.dilution()) + " times");
    }

    private static Answer typed(PageContext context, Visit visit) {
        Optional<Capture> capture = context.capture();
        Optional<Source> found = capture.stream()
                .flatMap(one -> one.byHand().stream())
                .filter(one -> one.name().equals(visit.form("source")))
                .findFirst();
        if (found.isEmpty()) {
            return Answer.notFound();
        }
        Source source = found.get();
        Source.Hand way = (Source.Hand) source.way();
        List<Double> values = new ArrayList<>();
        for (int i = 0; i < way.asked().size(); i++) {
            String text = visit.form("value-" + i);
            String again = visit.form("again-" + i);
            if (!text.matches("-?[0-9]{1,9}([.][0-9]{1,9})?")) {
                return page(
                        context,
                        visit,
                        400,
                        "Nothing was taken: " + way.asked().get(i).quantity() + " \"" + text
                                + "\" is no number; write 12.5, with a point.",
                        true);
            }
            if (way.twice() && !text.equals(again)) {
                return page(
                        context,
                        visit,
                        400,
                        "Nothing was taken: " + way.asked().get(i).quantity() + " was typed as " + text
                                + " and then as " + again + ". Look at it once more.",
                        true);
            }
            values.add(Double.valueOf(text));
        }
        String run = visit.form("run");
        Optional<Role> role = Role.of(visit.form("role").isEmpty() ? "sample" : visit.form("role"));
        if (run.isEmpty() || role.isEmpty() || !visit.form("position").matches("[1-9][0-9]{0,4}")) {
            return page(context, visit, 400, "Nothing was taken: a run needs a name and a position a number.", true);
        }
        int position = Integer.parseInt(visit.form("position"));
        try {
            HandPieces.Next next = capture.get().typed(source).next(run);
            if (next.position() != position || !next.run().equals(run)) {
                return page(
                        context,
                        visit,
                        409,
                        "Nothing was taken: position " + position + " of " + run
                                + " was typed by somebody else meanwhile. Go on with the position below.",
                        false);
            }
            if (next.place().isEmpty() && visit.form("identity").isEmpty()) {
                return page(context, visit, 400, "Nothing was taken: what is at this position? Scan or type it.", true);
            }
            Piece piece = capture.get()
                    .typed(source)
                    .piece(
                            run,
                            position,
                            role.get(),
                            visit.form("identity"),
                            values,
                            visit.form("last").equals("yes"),
                            visit.actor(),
                            context.clock().instant());
            Capture.Sent sent = capture.get().typed(source, piece);
            if (!(sent instanceof Capture.Durable durable)) {
                return page(
                        context,
                        visit,
                        503,
                        "It is not known whether this was taken: the store does not answer. Send it"
                                + " again; it is taken once.",
                        true);
            }
            if (durable.piece().setAside().isPresent()) {
                return page(
                        context,
                        visit,
                        409,
                        "Kept and set aside: " + durable.piece().setAside().get(),
                        false);
            }
        } catch (Inbox.NotNow notNow) {
            return page(
                    context,
                    visit,
                    503,
                    "The store does not answer now. Nothing was taken; try again in a moment.",
                    true);
        } catch (InterruptedException stop) {
            Thread.currentThread().interrupt();
            return page(context, visit, 503, "The program ends. Nothing was taken.", true);
        }
        return Answer.moved("/by-hand?source=" + Words.part(source.name()) + "&done=" + position);
    }
}
