package org.tenmesh.web.custody;

import java.nio.charset.StandardCharsets;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import org.tenmesh.core.custody.Areas;
import org.tenmesh.core.custody.Consignment;
import org.tenmesh.core.custody.Expected;
import org.tenmesh.core.custody.Held;
import org.tenmesh.core.custody.Ledger;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.Origin;
import org.tenmesh.core.custody.Parcel;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.Permits;
import org.tenmesh.core.custody.PortionKind;
import org.tenmesh.core.custody.Signed;
import org.tenmesh.print.report.RecordFile;
import org.tenmesh.print.tables.TableFiles;
import org.tenmesh.store.custody.Became;
import org.tenmesh.store.custody.LedgerBook;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.days.CustodyStore;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.PasswordAgain;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.Words;

/** The account of regulated soil: what is open, one parcel, lines that people enter, a count of a place. */
public final class RegulatedPages {
    private final PageContext context;

    private RegulatedPages(PageContext context) {
        this.context = context;
    }

    public static List<Route> routes(PageContext context) {
        RegulatedPages pages = new RegulatedPages(context);
        List<Route> routes = new ArrayList<>(List.of(
                Route.get("/regulated", Account.SEES, visit -> pages.list(visit, 200, "")),
                Route.get("/regulated/parcels/{parcel}", Account.SEES, visit -> pages.parcel(visit)),
                Route.get("/regulated/file/{parcel}/{format}", Rights.FLOOR, visit -> pages.file(visit)),
                Route.get(
                        "/regulated/period/{format}", Rights.FLOOR, visit -> Typed.answered(() -> pages.period(visit))),
                Route.post("/regulated/receive", Account.WORKS, visit -> Typed.answered(() -> pages.receive(visit))),
                Route.post("/regulated/enter", Account.WORKS, visit -> Typed.answered(() -> pages.enter(visit))),
                Route.post("/regulated/tray", Rights.ACT, visit -> Typed.answered(() -> pages.decide(visit))),
                Route.post("/regulated/ordinary", Rights.ACT, visit -> Typed.answered(() -> pages.ordinary(visit))),
                Route.post("/regulated/permit", Rights.ACT, visit -> Typed.answered(() -> pages.permit(visit))),
                Route.post("/regulated/add", Account.WORKS, visit -> Typed.answered(() -> pages.add(visit))),
                Route.post("/regulated/line", Account.WORKS, visit -> Typed.answered(() -> pages.line(visit))),
                Route.post("/regulated/count", Account.WORKS, visit -> Typed.answered(() -> pages.count(visit)))));
        routes.addAll(ChargePages.routes(context));
        routes.addAll(PaperPages.routes(context));
        return routes;
    }

    private CustodyStore store() {
        return context.store().custody();
    }

    private Answer list(Visit visit, int status, String said) {
        Account account = Account.of(context, visit);
        return new Answer.Shown(
                status,
                "regulated",
                "Regulated soil",
                Map.of(
                        "view",
                                RegulatedView.of(
                                        account,
                                        store(),
                                        clients(visit) ? store().strays() : List.of(),
                                        context.silentRecorders(account.zone())),
                        "clients", clients(visit),
                        "permits", account.permits().permits(),
                        "recorded", context.recorded(),
                        "works", visit.may(Account.WORKS),
                        "decides", visit.may(Rights.ACT),
                        "quality", visit.role() == PersonRole.QUALITY,
                        "said", said));
    }

    /** Who may know whose soil it is: the bench may not, because a hidden control is nobody's. */
    private static boolean clients(Visit visit) {
        return visit.may(Rights.CLIENTS);
    }

    private Answer parcel(Visit visit) {
        Account account = Account.of(context, visit);
        return account.parcel(visit.part("parcel"))
                .map(one -> Answer.shown(
                        "parcel",
                        "Parcel " + one.code(),
                        Map.of(
                                "view",
                                ParcelView.of(account, one),
                                "kinds",
                                ParcelView.byHand(),
                                "clients",
                                clients(visit),
                                "permits",
                                account.permits().permits(),
                                "recorded",
                                context.recorded(),
                                "decides",
                                visit.may(Rights.ACT),
                                "works",
                                visit.may(Account.WORKS))))
                .orElseGet(Answer::notFound);
    }

    private Answer file(Visit visit) {
        Account account = Account.of(context, visit);
        return account.parcel(visit.part("parcel"))
                .map(one -> download(visit, account, one.code(), InspectorFile.of(account, store().charges(), one)))
                .orElseGet(Answer::notFound);
    }

    private Answer period(Visit visit) {
        Account account = Account.of(context, visit);
        String today = account.today().toString();
        LocalDate from = Typed.date("first day", visit.query("from").isEmpty() ? today : visit.query("from"));
        LocalDate until = Typed.date("last day", visit.query("until").isEmpty() ? today : visit.query("until"));
        if (until.isBefore(from)) {
            throw new Typed.Wrong(
                    "The last day, " + until + ", lies before the first, " + from + ". Nothing was made.");
        }
        return download(
                visit, account, from + "-to-" + until, InspectorFile.of(account, store().charges(), from, until));
    }

    private Answer download(Visit visit, Account account, String name, InspectorFile file) {
        if (visit.part("format").equals("csv")) {
            StringBuilder text = new StringBuilder();
            for (TableFiles.Table table : file.tables()) {
                text.append(new String(
                                TableFiles.csv(
                                        new TableFiles.Table(table.caption(), List.of(table.caption()), List.of())),
                                StandardCharsets.UTF_8))
                        .append(new String(TableFiles.csv(table), StandardCharsets.UTF_8))
                        .append("\r\n");
            }
            return new Answer.Download(
                    text.toString().getBytes(StandardCharsets.UTF_8),
                    "text/csv; charset=utf-8",
                    "regulated-" + name + ".csv");
        }
        if (!visit.part("format").equals("pdf")) {
            return Answer.notFound();
        }
        RecordFile record = new RecordFile(
                visit.desk().map(desk -> desk.day().laboratory().name()).orElse("Soil laboratory"),
                visit.desk().map(desk -> desk.day().laboratory().invented()).orElse(false),
                file.title(),
                file.facts(),
                file.tables(),
                file.pictures(),
                context.clock().instant().atZone(account.zone()).toOffsetDateTime(),
                visit.actor());
        return new Answer.Download(record.pdf(), "application/pdf", "regulated-" + name + ".pdf");
    }

    private Answer receive(Visit visit) {
        Account account = Account.of(context, visit);
        Origin origin = Origin.written(
                Optional.of(visit.form("country")).filter(text -> !text.isEmpty()),
                List.of(visit.form("region"), visit.form("county")));
        Areas.Answer answer = account.areas().lookUp(origin);
        String decided = visit.form("because");
        List<Areas.Hit> hits = answer instanceof Areas.Regulated regulated ? regulated.hits() : List.of();
        if (hits.isEmpty() && decided.isEmpty()) {
            throw new Typed.Wrong(
                    "The lists do not name this origin: " + answer.words()
                            + " Where it is kept as regulated all the same, say on whose decision and why. Nothing was received.");
        }
        OptionalLong massG = visit.form("massG").isEmpty()
                ? OptionalLong.empty()
                : OptionalLong.of(Typed.whole("mass in grams", visit.form("massG")));
        Permits.Fit fit = account.permits()
                .fit(new Consignment(
                        origin,
                        hits,
                        massG,
                        Set.of(Permit.Analysis.CHEMICAL, Permit.Analysis.PHYSICAL),
                        visit.form("carried").equals("yes")));
        if (!fit.admits()) {
            return Answer.refused(409, "Not received", fit.refusal());
        }
        Parcel parcel = store().receive(
                        new LedgerBook.Received(
                                "page-" + visit.form("lines") + "-" + visit.form("submission") + "-" + origin.words(),
                                visit.form("submission"),
                                origin,
                                hits.isEmpty() ? decided : answer.words(),
                                fit.admitting().get(0),
                                massG,
                                Typed.whole("number of bags", visit.form("pieces")),
                                visit.form("condition"),
                                visit.form("place")),
                        account.today(),
                        visit.actor(),
                        context.clock().instant());
        return Answer.moved("/regulated/parcels/" + Words.part(parcel.code()));
    }

    /** What is decided of the ordinary soil in one tray with regulated soil. */
    private Answer decide(Visit visit) {
        Became.Decision decision = Became.Decision.of(visit.form("decision"))
                .orElseThrow(
                        () -> new Typed.Wrong(
                                "Say whether the other soils of the tray are handled as regulated or stay ordinary. Nothing was kept."));
        store().decide(
                        visit.form("day"),
                        visit.form("tray"),
                        decision,
                        visit.form("reason").strip(),
                        visit.actor(),
                        context.clock().instant());
        context.currentDay().renew();
        return Answer.moved("/regulated#became");
    }

    /** A signature that soil that became regulated by a note did not meet regulated soil. */
    private Answer ordinary(Visit visit) {
        Optional<PasswordAgain.Wrong> wrong = PasswordAgain.wrong(context, visit, "Nothing was signed.");
        if (wrong.isPresent()) {
            return Answer.refused(
                    wrong.get().status(), "Not signed", wrong.get().says());
        }
        store().ordinaryAgain(
                        visit.form("parcel"),
                        visit.form("reason").strip(),
                        visit.actor(),
                        visit.role() == PersonRole.QUALITY,
                        context.clock().instant());
        context.currentDay().renew();
        return Answer.moved("/regulated#became");
    }

    /** The permit of a parcel that came into the account without a known one. */
    private Answer permit(Visit visit) {
        Account account = Account.of(context, visit);
        String parcel = visit.form("parcel");
        Signed<Permit> permit = account.permits().permits().stream()
                .filter(one -> one.name().equals(visit.form("permit")))
                .findFirst()
                .orElseThrow(() -> new Typed.Wrong(
                        "The permit \"" + visit.form("permit") + "\" is not in force. Nothing was kept."));
        store().enterPermit(
                        parcel,
                        permit,
                        visit.form("reason").strip(),
                        account.today(),
                        visit.actor(),
                        context.clock().instant());
        return Answer.moved("/regulated/parcels/" + Words.part(parcel));
    }

    private static List<String> codes(Visit visit) {
        return List.copyOf(new LinkedHashSet<>(Arrays.stream(visit.form("codes").split("\\s+"))
                .filter(code -> !code.isEmpty())
                .toList()));
    }

    /** Enters portions that must exist, or says that they were never made. */
    private Answer enter(Visit visit) {
        Account account = Account.of(context, visit);
        String parcel = visit.form("parcel");
        List<String> codes = codes(visit);
        List<Expected> chosen = account.missing(parcel).stream()
                .filter(one -> codes.isEmpty()
                        ? visit.form("kind").equals("all") || one.kind().word().equals(visit.form("kind"))
                        : codes.contains(one.code()) || codes.contains(one.labNumber()))
                .toList();
        boolean made = !visit.form("made").equals("no");
        if (made && visit.form("place").isEmpty()) {
            throw new Typed.Wrong("Say where they are: a bag, a drum, a shelf. Nothing was kept.");
        }
        Ledger ledger = Ledger.of(account.moves());
        List<Move> lines = new ArrayList<>();
        for (Expected one : chosen) {
            Move line = made ? taken(visit, ledger, one) : notMade(visit, one);
            ledger.add(line);
            lines.add(line);
        }
        store().keep(lines);
        return Answer.moved("/regulated/parcels/" + Words.part(parcel));
    }

    private Move taken(Visit visit, Ledger ledger, Expected one) {
        Held from = ledger.portion(one.from())
                .or(() -> ledger.portion(one.parcel()))
                .orElseThrow();
        // Where a well was not weighed the soil stays with its parcel, and the portion is kept by its piece.
        long massMg = one.massMg() <= from.massMg() ? one.massMg() : 0;
        return move(
                visit, Move.What.TAKEN, one.parcel(), one.code(), one.kind(), from.code(), massMg, 1, one.because());
    }

    private Move notMade(Visit visit, Expected one) {
        return move(visit, Move.What.NOT_MADE, one.parcel(), one.code(), one.kind(), "", 0, 0, visit.form("note"));
    }

    private Move move(
            Visit visit,
            Move.What what,
            String parcel,
            String code,
            PortionKind kind,
            String from,
            long massMg,
            int pieces,
            String note) {
        // The same form sent twice gives the same ids, so nothing is kept twice.
        String id = "page-" + visit.form("lines") + "-" + what.word() + "-" + code;
        return new Move(
                id,
                what,
                parcel,
                code,
                kind,
                from,
                visit.form("place"),
                massMg,
                pieces,
                "",
                note,
                visit.actor(),
                context.clock().instant());
    }

    /** A portion that nobody could expect: sweepings, washings, a second portion. */
    private Answer add(Visit visit) {
        Account account = Account.of(context, visit);
        Held from = account.ledger()
                .portion(visit.form("from"))
                .orElseThrow(() -> new Typed.Wrong("What it was taken of, \"" + visit.form("from")
                        + "\", is not in the account. " + "Scan a parcel or a portion. Nothing was kept."));
        PortionKind kind = PortionKind.of(visit.form("kind"));
        int number = 1;
        while (account.ledger()
                .portion(from.code() + "." + kind.word() + "-" + number)
                .isPresent()) {
            number++;
        }
        store().keep(List.of(move(
                visit,
                Move.What.TAKEN,
                from.parcel(),
                from.code() + "." + kind.word() + "-" + number,
                kind,
                from.code(),
                mass(visit),
                1,
                visit.form("note"))));
        return Answer.moved("/regulated/parcels/" + Words.part(from.parcel()));
    }

    private static long mass(Visit visit) {
        return visit.form("massG").isEmpty()
                ? 0
                : Math.round(Typed.number("mass in grams", visit.form("massG")) * 1000);
    }

    private static final Set<Move.What> BY_HAND = Set.of(
            Move.What.MOVED,
            Move.What.DRIED,
            Move.What.WEIGHED,
            Move.What.SHIPPED,
            Move.What.LOST,
            Move.What.FOUND,
            Move.What.MISTAKEN);

    private Answer line(Visit visit) {
        Account account = Account.of(context, visit);
        Move.What what = Move.What.of(visit.form("what"));
        if (!BY_HAND.contains(what)) {
            throw new Typed.Wrong("A line like this is not entered by hand. Nothing was kept.");
        }
        List<Move> lines = new ArrayList<>();
        for (String code : codes(visit)) {
            Held held = account.ledger()
                    .portion(code)
                    .orElseThrow(() -> new Typed.Wrong(code + " is not in the account. Nothing was kept."));
            long massMg = switch (what) {
                case MOVED -> 0;
                case DRIED -> mass(visit);
                case WEIGHED -> mass(visit) - held.massMg();
                case FOUND ->
                    account.moves().stream()
                            .filter(one -> one.portion().equals(code) && one.what() == Move.What.LOST)
                            .mapToLong(Move::massMg)
                            .reduce(0, (a, b) -> b);
                default -> held.massMg();
            };
            int pieces = switch (what) {
                case MOVED, DRIED, WEIGHED -> 0;
                case FOUND ->
                    account.moves().stream()
                            .filter(one -> one.portion().equals(code) && one.what() == Move.What.LOST)
                            .mapToInt(Move::pieces)
                            .reduce(0, (a, b) -> b);
                default -> held.pieces();
            };
            lines.add(move(visit, what, held.parcel(), code, held.kind(), "", massMg, pieces, visit.form("note")));
        }
        store().keep(lines);
        return Answer.moved("/regulated/parcels/" + Words.part(lines.get(0).parcel()));
    }

    /** Compares what was scanned at a place with the account, and keeps what was seen. */
    private Answer count(Visit visit) {
        Account account = Account.of(context, visit);
        String place = visit.form("place");
        List<String> codes = codes(visit);
        if (place.isEmpty()) {
            throw new Typed.Wrong("Say which place was counted. Nothing was kept.");
        }
        Ledger.Count count = account.ledger().count(place, codes);
        List<Move> seen = new ArrayList<>();
        for (String code : codes) {
            account.ledger()
                    .portion(code)
                    .filter(held ->
                            held.state() == Held.State.HELD && held.place().equals(place))
                    .ifPresent(held ->
                            seen.add(move(visit, Move.What.COUNTED, held.parcel(), code, held.kind(), "", 0, 0, "")));
        }
        if (!seen.isEmpty()) {
            store().keep(seen);
        }
        return Answer.shown(
                "counted", "Count of " + place, Map.of("place", place, "right", seen.size(), "count", count));
    }
}
