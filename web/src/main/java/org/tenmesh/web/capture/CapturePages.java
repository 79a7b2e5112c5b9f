package org.tenmesh.web.capture;

import java.nio.charset.StandardCharsets;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;
import org.tenmesh.capture.Capture;
import org.tenmesh.capture.pieces.Inbox;
import org.tenmesh.capture.pieces.Piece;
import org.tenmesh.capture.settings.Source;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.Words;

/** How sources stand, what came, what was set aside and is taken again. */
public final class CapturePages {
    private static final int NEWEST = 50;
    private static final int SHOWN_BYTES = 200_000;

    private CapturePages() {}

    public static List<Route> routes(PageContext context) {
        return List.of(
                Route.get("/capture", Rights.FLOOR, visit -> page(context, visit, 200, "")),
                Route.get("/capture/piece", Rights.FLOOR, visit -> piece(context, visit)),
                Route.file("/capture/drop", Rights.ACT, visit -> drop(context, visit)),
                Route.post("/capture/again", Rights.ACT, visit -> again(context, visit)),
                Route.post("/capture/apply", Rights.ACT, visit -> apply(context, visit)),
                Route.post("/capture/begin", Rights.ACT, visit -> begin(context, visit)),
                Route.post("/capture/position", Rights.ACT, visit -> position(context, visit)));
    }

    private static ZoneId zone(Visit visit) {
        return visit.desk().map(Desk::zone).orElse(ZoneOffset.UTC);
    }

    private static Answer page(PageContext context, Visit visit, int status, String wrong) {
        return page(context, visit, status, "", wrong);
    }

    private static Answer page(PageContext context, Visit visit, int status, String said, String wrong) {
        ZoneId zone = zone(visit);
        String looked = visit.query("source").isEmpty() ? visit.form("source") : visit.query("source");
        Optional<Capture> capture = context.capture();
        Optional<Source> source = capture.flatMap(one -> one.source(looked));
        List<CaptureView.PieceRow> pieces = List.of();
        List<String> waiting = List.of();
        String told = wrong;
        try {
            if (source.isPresent()) {
                pieces = capture.get().newest(source.get().name(), NEWEST).stream()
                        .map(piece -> CaptureView.PieceRow.of(piece, zone))
                        .toList();
                waiting = capture.get().waiting(source.get());
            }
        } catch (Inbox.NotNow notNow) {
            told = "The store does not answer now, so what came is not listed.";
        }
        CaptureView view = new CaptureView(
                Stream.concat(
                                context.store().clockTold().stream(),
                                capture.map(Capture::warnings).orElse(List.of()).stream())
                        .map(Words::sentence)
                        .toList(),
                capture.map(Capture::states).orElse(List.of()).stream()
                        .map(state -> CaptureView.Row.of(state, zone))
                        .toList(),
                capture.map(Capture::problems).orElse(List.of()),
                pieces,
                source.map(Source::name).orElse(""),
                waiting,
                source.filter(one -> capture.filter(its -> its.counts(one)).isPresent())
                        .isPresent(),
                source.filter(Capture::takesFiles).isPresent(),
                said,
                told);
        return new Answer.Shown(status, "capture", "Capture", Map.of("view", view, "acts", visit.may(Rights.ACT)));
    }

    private static Optional<Inbox.Listed> listed(PageContext context, String source, String key) {
        return context.capture().stream()
                .flatMap(capture -> capture.newest(source, 10 * NEWEST).stream())
                .filter(one -> one.key().equals(key))
                .findFirst();
    }

    private static Answer piece(PageContext context, Visit visit) {
        if (visit.query("source").isEmpty()) {
            return Answer.moved("/capture");
        }
        Optional<Inbox.Listed> piece = listed(context, visit.query("source"), visit.query("key"));
        Optional<byte[]> bytes =
                context.capture().flatMap(capture -> capture.bytes(visit.query("source"), visit.query("key")));
        if (piece.isEmpty() || bytes.isEmpty()) {
            return Answer.notFound();
        }
        byte[] all = bytes.get();
        String text = new String(all, 0, Math.min(all.length, SHOWN_BYTES), StandardCharsets.UTF_8)
                .replaceAll("[\\x00-\\x08\\x0b\\x0c\\x0e-\\x1f]", "�");
        return Answer.shown(
                "piece",
                "What came",
                Map.of(
                        "piece",
                        CaptureView.PieceRow.of(piece.get(), zone(visit)),
                        "source",
                        piece.get().source(),
                        "text",
                        text,
                        "bytes",
                        all.length,
                        "whole",
                        all.length <= SHOWN_BYTES,
                        "acts",
                        visit.may(Rights.ACT)));
    }

    private static Answer again(PageContext context, Visit visit) {
        Optional<Source> source = context.capture().flatMap(capture -> capture.source(visit.form("source")));
        Optional<Inbox.Listed> piece = listed(context, visit.form("source"), visit.form("key"));
        if (source.isEmpty() || piece.isEmpty() || piece.get().setAside().isEmpty()) {
            return page(context, visit, 409, "Not read again: it is not set aside any more. Nothing was done.");
        }
        try {
            Optional<Piece> now = context.capture().orElseThrow().again(source.get(), piece.get(), visit.actor());
            if (now.isEmpty()) {
                return page(
                        context, visit, 503, "Not read again: the store does not answer now. Try again in a moment.");
            }
            if (now.get().setAside().isPresent()) {
                return page(
                        context,
                        visit,
                        409,
                        "Read again, and set aside still: "
                                + now.get().setAside().get());
            }
        } catch (Inbox.NotNow notNow) {
            return page(context, visit, 503, "Not read again: the store does not answer now. Try again in a moment.");
        } catch (InterruptedException stop) {
            Thread.currentThread().interrupt();
            return page(context, visit, 503, "The program ends. Nothing was done.");
        }
        return Answer.moved("/capture?source=" + Words.part(source.get().name()));
    }

    private static Answer drop(PageContext context, Visit visit) {
        Optional<Source> source = context.capture()
                .flatMap(capture -> capture.source(visit.form("source")))
                .filter(Capture::takesFiles);
        Optional<Visit.Upload> file = Optional.ofNullable(visit.files().get("export"));
        if (source.isEmpty() || file.isEmpty() || file.get().bytes().length == 0) {
            return page(
                    context,
                    visit,
                    400,
                    "Nothing was taken: choose the instrument's export first, a file that is not empty.");
        }
        try {
            Capture.Sent sent = context.capture()
                    .orElseThrow()
                    .dropped(source.get(), file.get().name(), file.get().bytes(), visit.actor());
            if (!(sent instanceof Capture.Durable durable)) {
                return page(
                        context,
                        visit,
                        503,
                        "The store does not answer. It is not known whether "
                                + file.get().name() + " was taken; drop it again, it is taken once.");
            }
            if (durable.before()) {
                return page(
                        context, visit, 200, file.get().name() + " was taken before. Nothing was taken a second time.");
            }
            if (durable.piece().setAside().isPresent()) {
                return page(
                        context,
                        visit,
                        409,
                        file.get().name() + " is kept and set aside, and nothing of it was taken: "
                                + durable.piece().setAside().get() + ".");
            }
        } catch (InterruptedException stop) {
            Thread.currentThread().interrupt();
            return page(
                    context, visit, 503, "The program ends. It is not known whether this was taken; drop it again.");
        }
        return Answer.moved("/capture?source=" + Words.part(source.get().name()));
    }

    private static Answer apply(PageContext context, Visit visit) {
        Optional<Capture> capture = context.capture();
        if (capture.isEmpty()) {
            return page(context, visit, 409, "Not done: no sources are read here.");
        }
        try {
            Capture.Settings settings = capture.get().apply(visit.actor());
            if (settings instanceof Capture.Mistaken mistaken) {
                return page(
                        context,
                        visit,
                        409,
                        "Nothing was changed, everything is read as before. " + String.join(" ", mistaken.problems()));
            }
            return page(context, visit, 200, said((Capture.Applied) settings), "");
        } catch (Inbox.NotNow notNow) {
            return page(context, visit, 503, "Nothing was changed: the store does not answer now.");
        } catch (InterruptedException stop) {
            Thread.currentThread().interrupt();
            return page(context, visit, 503, "The program ends.");
        }
    }

    private static String said(Capture.Applied applied) {
        List<String> parts = new ArrayList<>();
        part(parts, "new", applied.added());
        part(parts, "changed", applied.changed());
        part(parts, "taken out", applied.removed());
        part(parts, "still storing what was taken before", applied.storing());
        part(parts, "runs that have not ended and get no more", applied.unended());
        return "Read. " + (parts.isEmpty() ? "No source is another." : String.join("; ", parts) + ".");
    }

    private static void part(List<String> parts, String what, List<String> names) {
        if (!names.isEmpty()) {
            parts.add(what + ": " + String.join(", ", names));
        }
    }

    private static Answer begin(PageContext context, Visit visit) {
        Optional<Capture> capture = context.capture();
        Optional<Source> source = capture.flatMap(one -> one.source(visit.form("source")));
        if (source.isEmpty() || !capture.get().waiting(source.get()).contains(visit.form("order"))) {
            return page(context, visit, 409, "Not done: this run order does not wait for this source any more.");
        }
        capture.get().begin(source.get().name(), visit.form("order"), visit.actor());
        return Answer.moved("/capture?source=" + Words.part(source.get().name()));
    }

    private static Answer position(PageContext context, Visit visit) {
        Optional<Capture> capture = context.capture();
        Optional<Source> source = capture.flatMap(one -> one.source(visit.form("source")));
        if (source.isEmpty() || !visit.form("position").matches("[1-9][0-9]{0,5}")) {
            return page(context, visit, 400, "Not done: a position is a whole number of 1 or more.");
        }
        capture.get().continueAt(source.get().name(), Integer.parseInt(visit.form("position")), visit.actor());
        return Answer.moved("/capture?source=" + Words.part(source.get().name()));
    }
}
