package org.tenmesh.web.shelf;

import java.time.Instant;
import java.time.LocalDate;
import java.time.format.DateTimeParseException;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.UUID;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.BenchWork;
import org.tenmesh.core.bench.Subject;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.Dumping;
import org.tenmesh.core.desk.RedoOrder;
import org.tenmesh.core.equipment.Hold;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.shelf.Codes;
import org.tenmesh.core.shelf.DiscardList;
import org.tenmesh.core.shelf.Shelf;
import org.tenmesh.core.shelf.ShelfAct;
import org.tenmesh.core.shelf.ShelfAct.What;
import org.tenmesh.core.shelf.Stored;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.shelf.BoxCount;
import org.tenmesh.web.days.ShelfStore;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.PasswordAgain;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.Words;

/**
 * The shelf's pages. Every lab number is answered alike, a hidden control's as any other; a client's boxes are told with their number of soils and
 * without lab numbers.
 */
public final class ShelfPages {
    private static final Set<PersonRole> WORKS = Set.of(PersonRole.BENCH, PersonRole.IN_CHARGE, PersonRole.QUALITY);
    /** Most scans that one form takes. */
    private static final int MOST = 500;

    private final PageContext context;

    private ShelfPages(PageContext context) {
        this.context = context;
    }

    public static List<Route> routes(PageContext context) {
        ShelfPages pages = new ShelfPages(context);
        return List.of(
                page("/shelf", pages::front),
                page("/shelf/boxes/{box}", (visit, desk) -> pages.box(visit, desk, visit.part("box"), "", 200)),
                page(
                        "/shelf/soils/{labNumber}",
                        (visit, desk) -> pages.soil(visit, desk, visit.part("labNumber"), "", 200)),
                page("/shelf/lists/{list}", (visit, desk) -> pages.list(visit, desk, visit.part("list"), "", 200)),
                page("/shelf/trays/{tray}", (visit, desk) -> pages.tray(visit, desk, visit.part("tray"), "", 200)),
                form("/shelf/dump", WORKS, pages::dump),
                form("/shelf/make", WORKS, pages::make),
                form("/shelf/put", WORKS, pages::put),
                form("/shelf/place-box", WORKS, pages::placeBox),
                form("/shelf/loan", WORKS, pages::loan),
                form("/shelf/hold", Rights.ACT, pages::hold),
                form("/shelf/list", Rights.ACT, pages::makeList),
                form("/shelf/scan", WORKS, pages::scan),
                form("/shelf/sign", Rights.ACT, pages::sign));
    }

    private interface OfDay {
        Answer answer(Visit visit, Desk desk);
    }

    private static Route page(String path, OfDay page) {
        return Route.get(path, Rights.TRAYS, visit -> PageContext.withDay(visit, desk -> page.answer(visit, desk)));
    }

    private static Route form(String path, Set<PersonRole> roles, OfDay page) {
        return Route.post(path, roles, visit -> PageContext.withDay(visit, desk -> page.answer(visit, desk)));
    }

    private ShelfStore shelf() {
        return context.store().shelf();
    }

    private static int days(Desk desk) {
        return (int) desk.day().laboratory().policy().number(Setting.RETENTION_DAYS);
    }

    private LocalDate today(Desk desk) {
        return context.clock().instant().atZone(desk.zone()).toLocalDate();
    }

    // Finding

    private Answer front(Visit visit, Desk desk) {
        String asked = visit.query("q").strip();
        String upper = asked.toUpperCase(Locale.ROOT);
        if (Codes.isBox(upper) && shelf().box(upper).isPresent()) {
            return Answer.moved("/shelf/boxes/" + upper);
        }
        if (Codes.isList(upper) && shelf().list(upper).isPresent()) {
            return Answer.moved("/shelf/lists/" + upper);
        }
        if (desk.tray(upper).isPresent()) {
            return Answer.moved("/shelf/trays/" + Words.part(upper));
        }
        if (!asked.isEmpty() && asked.length() <= 32 && asked.matches("\\S+")) {
            for (String number : List.of(asked, upper)) {
                if (!shelf().find(List.of(new LabNumber(number)), desk.zone()).isEmpty()) {
                    return Answer.moved("/shelf/soils/" + Words.part(number));
                }
            }
        }
        return shown(visit, desk, asked, "", 200);
    }

    private Answer shown(Visit visit, Desk desk, String asked, String said, int status) {
        LocalDate today = today(desk);
        int days = days(desk);
        List<BoxCount> found = found(visit, asked);
        List<SoilRow> lent = shelf().lent(desk.zone()).stream()
                .map(soil -> SoilRow.of(soil, days, today))
                .toList();
        int late = (int) lent.stream().filter(SoilRow::late).count();
        return new Answer.Shown(
                status,
                "shelf",
                "Shelf",
                Map.ofEntries(
                        Map.entry("asked", asked),
                        Map.entry("said", said),
                        Map.entry(
                                "warnings",
                                ShelfWarning.of(shelf(), days, today, desk.zone(), late, () -> waiting(desk, today))),
                        Map.entry("found", found),
                        Map.entry("nothing", !asked.isEmpty() && found.isEmpty()),
                        Map.entry("clients", visit.may(Rights.CLIENTS)),
                        Map.entry("places", shelf().places()),
                        Map.entry("nowhere", shelf().at("")),
                        Map.entry("lent", lent),
                        Map.entry("lists", shelf().lists()),
                        Map.entry("next", Codes.box(Math.min(999_999, shelf().nextBox()))),
                        Map.entry("days", days),
                        Map.entry("today", today.toString()),
                        Map.entry("works", visit.may(WORKS)),
                        Map.entry("decides", visit.may(Rights.ACT))));
    }

    private List<BoxCount> found(Visit visit, String asked) {
        if (asked.isEmpty()) {
            return List.of();
        }
        if (Codes.isPlace(asked.toUpperCase(Locale.ROOT))) {
            return shelf().at(asked.toUpperCase(Locale.ROOT));
        }
        if (asked.matches("\\d{4}-\\d\\d-\\d\\d")) {
            return date(asked).map(shelf()::releasedOn).orElse(List.of());
        }
        return visit.may(Rights.CLIENTS) && asked.length() >= 3 ? shelf().ofClient(asked) : List.of();
    }

    private static Optional<LocalDate> date(String text) {
        try {
            return Optional.of(LocalDate.parse(text));
        } catch (DateTimeParseException wrong) {
            return Optional.empty();
        }
    }

    private Answer box(Visit visit, Desk desk, String code, String said, int status) {
        Optional<Shelf.Box> box = shelf().box(code);
        if (box.isEmpty()) {
            return Answer.notFound();
        }
        LocalDate today = today(desk);
        return new Answer.Shown(
                status,
                "shelf-box",
                "Box " + code,
                Map.of(
                        "box",
                        box.get(),
                        "said",
                        said,
                        "soils",
                        shelf().inBox(code, desk.zone()).stream()
                                .map(soil -> SoilRow.of(soil, days(desk), today))
                                .toList(),
                        "acts",
                        shelf().actsOfBox(code).stream()
                                .map(act -> Done.of(act, desk.zone()))
                                .toList(),
                        "works",
                        visit.may(WORKS)));
    }

    private Answer soil(Visit visit, Desk desk, String text, String said, int status) {
        if (text.isEmpty() || text.length() > 32) {
            return Answer.notFound();
        }
        LabNumber number = new LabNumber(text);
        Optional<Stored> soil =
                Optional.ofNullable(shelf().find(List.of(number), desk.zone()).get(number));
        LocalDate today = today(desk);
        return new Answer.Shown(
                status,
                "shelf-soil",
                text + " on the shelf",
                Map.of(
                        "labNumber",
                        text,
                        "said",
                        said,
                        "soil",
                        soil.map(one -> SoilRow.of(one, days(desk), today)),
                        "onShelf",
                        soil.filter(one -> one.state() == Stored.State.ON_SHELF).isPresent(),
                        "isLent",
                        soil.filter(one -> one.loan().isPresent()).isPresent(),
                        "held",
                        soil.map(one -> one.pauses().stream()
                                        .filter(pause -> pause.holds(today))
                                        .map(pause -> pause.kind())
                                        .toList())
                                .orElse(List.of()),
                        "acts",
                        shelf().acts(number).stream()
                                .map(act -> Done.of(act, desk.zone()))
                                .toList(),
                        "works",
                        visit.may(WORKS),
                        "decides",
                        visit.may(Rights.ACT)));
    }

    /** One line of what was done with a soil or a box. */
    public record Done(String at, String what, String person) {
        static Done of(ShelfAct act, java.time.ZoneId zone) {
            String to = switch (act.what()) {
                case SOIL_PUT -> " " + act.to();
                case BOX_PUT -> " " + act.to();
                case LENT -> " to " + act.to();
                case HELD, HOLD_LIFTED -> ": " + act.to();
                case LISTED -> " " + act.to();
                case DISCARDED -> ", list " + act.to();
                case HANDED_OVER -> ": " + act.to();
                default -> "";
            };
            String until = act.until().map(day -> " until " + Words.day(day)).orElse("");
            String reason = act.reason().isEmpty() ? "" : " (" + act.reason() + ")";
            return new Done(Words.moment(act.at(), zone), act.what().phrase() + to + until + reason, act.person());
        }
    }

    // Trays

    private static List<LabNumber> soils(Tray tray) {
        return tray.wells().stream()
                .flatMap(place -> place.labNumber().stream())
                .toList();
    }

    private List<String> against(Desk desk, Tray tray) {
        List<LabNumber> soils = soils(tray);
        int boxed = context.store().bench().onShelf(soils).size();
        return Dumping.against(desk, tray, soils.size() - boxed);
    }

    private Answer tray(Visit visit, Desk desk, String name, String said, int status) {
        Optional<Tray> tray = desk.tray(name);
        if (tray.isEmpty()) {
            return Answer.notFound();
        }
        Map<String, Integer> boxes = new TreeMap<>();
        context.store().bench().onShelf(soils(tray.get())).values().forEach(box -> boxes.merge(box, 1, Integer::sum));
        Optional<BenchAct> dumped = BenchWork.dumped(context.store().bench().acts(desk.name()).stream()
                .filter(act -> act.subject().equals(Subject.tray(desk.name(), name)))
                .toList());
        return new Answer.Shown(
                status,
                "shelf-tray",
                "Tray " + name,
                Map.of(
                        "tray",
                        name,
                        "said",
                        said,
                        "regulated",
                        desk.trayState(name).filter(state -> state.regulated()).isPresent(),
                        "boxes",
                        boxes,
                        "soils",
                        soils(tray.get()).size(),
                        "against",
                        against(desk, tray.get()),
                        "dumped",
                        dumped.map(act -> Words.moment(act.storedAt(), desk.zone()) + " by " + act.person())
                                .orElse(""),
                        "works",
                        visit.may(WORKS)));
    }

    /** Notes at the bench that a tray was dumped, with what was told first. */
    private Answer dump(Visit visit, Desk desk) {
        String name = visit.form("tray");
        Optional<Tray> tray = desk.tray(name);
        if (tray.isEmpty()) {
            return Answer.notFound();
        }
        List<String> against = against(desk, tray.get());
        if (!against.isEmpty() && !visit.form("confirmed").equals("yes")) {
            return tray(
                    visit,
                    desk,
                    name,
                    "Nothing was noted: tick that you have read what speaks against it, or leave the tray.",
                    409);
        }
        Instant now = context.clock().instant();
        context.store()
                .bench()
                .keep(
                        new BenchAct(
                                UUID.randomUUID().toString(),
                                Subject.tray(desk.name(), name),
                                BenchWork.DUMP,
                                BenchAct.What.DONE,
                                "",
                                String.join(" ", against),
                                visit.actor(),
                                "page",
                                now,
                                now),
                        visit.actor());
        return Answer.moved("/shelf/trays/" + Words.part(name));
    }

    // Doing

    private ShelfAct act(
            Visit visit, What what, String about, String to, Optional<LocalDate> until, boolean regulated) {
        return new ShelfAct(
                what,
                about,
                to,
                until,
                regulated,
                visit.form("reason"),
                visit.actor(),
                context.clock().instant());
    }

    private static boolean fits(Visit visit) {
        return visit.form().values().stream().allMatch(text -> text.length() <= MOST * 40)
                && visit.form("reason").length() <= ShelfAct.LONGEST
                && visit.form("to").length() <= ShelfAct.LONGEST;
    }

    /** Makes a place of a name, or the next box. */
    private Answer make(Visit visit, Desk desk) {
        boolean regulated = visit.form("kind").equals("regulated");
        boolean place = visit.form("what").equals("place");
        String code =
                place ? visit.form("code").toUpperCase(Locale.ROOT) : Codes.box(Math.min(999_999, shelf().nextBox()));
        if (code.isEmpty() || code.length() > 64) {
            return shown(visit, desk, "", "A place has a name. Nothing was done.", 400);
        }
        try {
            shelf().keep(
                            List.of(act(
                                    visit,
                                    place ? What.PLACE_MADE : What.BOX_MADE,
                                    code,
                                    "",
                                    Optional.empty(),
                                    regulated)),
                            desk.zone());
        } catch (Refused refused) {
            return shown(visit, desk, "", said(refused), 409);
        }
        return Answer.moved(place ? "/shelf?q=" + Words.part(code) : "/shelf/boxes/" + code);
    }

    /** Puts what was scanned into a box: lab numbers, one or many. */
    private Answer put(Visit visit, Desk desk) {
        String box = visit.form("box");
        List<String> scanned = Arrays.stream(visit.form("soils").split("[\\s,;]+"))
                .filter(text -> !text.isEmpty())
                .distinct()
                .toList();
        if (scanned.isEmpty() || scanned.size() > MOST || scanned.stream().anyMatch(text -> text.length() > 32)) {
            return box(visit, desk, box, "Scan 1 to " + MOST + " lab numbers. Nothing was done.", 400);
        }
        try {
            shelf().keep(
                            scanned.stream()
                                    .map(text -> act(visit, What.SOIL_PUT, text, box, Optional.empty(), false))
                                    .toList(),
                            desk.zone());
        } catch (Refused refused) {
            return box(visit, desk, box, said(refused), 409);
        }
        return Answer.moved("/shelf/boxes/" + Words.part(box));
    }

    private Answer placeBox(Visit visit, Desk desk) {
        String box = visit.form("box");
        String place = visit.form("place").toUpperCase(Locale.ROOT);
        if (!Codes.isPlace(place) || !Codes.isBox(box)) {
            return box(visit, desk, box, "Scan the label of a place, such as P-A1-03. Nothing was done.", 400);
        }
        try {
            shelf().keep(List.of(act(visit, What.BOX_PUT, box, place, Optional.empty(), false)), desk.zone());
        } catch (Refused refused) {
            return box(visit, desk, box, said(refused), 409);
        }
        return Answer.moved("/shelf/boxes/" + Words.part(box));
    }

    private Answer loan(Visit visit, Desk desk) {
        boolean back = visit.form("what").equals("returned");
        return ofASoil(visit, desk, back ? What.RETURNED : What.LENT, back ? "" : visit.form("to"));
    }

    private Answer hold(Visit visit, Desk desk) {
        What what = switch (visit.form("what")) {
            case "lift" -> What.HOLD_LIFTED;
            case "hand-over" -> What.HANDED_OVER;
            default -> What.HELD;
        };
        return ofASoil(visit, desk, what, visit.form("to"));
    }

    private Answer ofASoil(Visit visit, Desk desk, What what, String to) {
        String number = visit.form("soil");
        String until = visit.form("until");
        Optional<LocalDate> day = date(until);
        if (!fits(visit) || !until.isEmpty() && day.isEmpty() || number.isEmpty() || number.length() > 32) {
            return soil(
                    visit,
                    desk,
                    number,
                    "A date is written like 2026-11-30, and texts have at most " + ShelfAct.LONGEST
                            + " characters. Nothing was done.",
                    400);
        }
        try {
            shelf().keep(List.of(act(visit, what, number, to, day, false)), desk.zone());
        } catch (Refused refused) {
            return soil(visit, desk, number, said(refused), 409);
        }
        return Answer.moved("/shelf/soils/" + Words.part(number));
    }

    // Discard lists

    /** Soils of which something is ordered to be made again and not done yet, or held after looking back. */
    private Set<LabNumber> waiting(Desk desk, LocalDate day) {
        Set<LabNumber> waiting = new HashSet<>();
        for (String name : shelf().daysWithOrders(day.minusDays(days(desk)))) {
            RedoOrder.of(judged(name)).stream()
                    .filter(order -> !order.done())
                    .forEach(order -> waiting.addAll(order.labNumbers()));
        }
        for (Hold hold : context.store().holds().byHand()) {
            if (hold.lifted().isEmpty()) {
                hold.spans().stream()
                        .map(Hold.Span::day)
                        .distinct()
                        .forEach(name -> waiting.addAll(
                                hold.soils(name, judged(name).judged().results())));
            }
        }
        return waiting;
    }

    private Desk judged(String name) {
        return context.currentDay()
                .desk(name)
                .orElseThrow(
                        () -> new Refused(
                                "Day " + name
                                        + " cannot be judged now, so nobody knows what of it is held or still to be made again. Nothing was done."));
    }

    private Answer makeList(Visit visit, Desk desk) {
        Optional<LocalDate> day = date(visit.form("day"));
        if (day.isEmpty() || day.get().isAfter(today(desk).plusDays(7))) {
            return shown(
                    visit,
                    desk,
                    "",
                    "A list is made for a day written like 2026-11-30, at most a week from now. Nothing was done.",
                    400);
        }
        try {
            return Answer.moved("/shelf/lists/"
                    + shelf().makeList(
                                    day.get(),
                                    days(desk),
                                    waiting(desk, day.get()),
                                    visit.actor(),
                                    context.clock().instant(),
                                    desk.zone()));
        } catch (Refused refused) {
            return shown(visit, desk, "", said(refused), 409);
        }
    }

    private Answer list(Visit visit, Desk desk, String name, String said, int status) {
        Optional<DiscardList> list = shelf().list(name);
        if (list.isEmpty()) {
            return Answer.notFound();
        }
        boolean open = list.get().signedBy().isEmpty();
        Set<LabNumber> waiting = open ? waiting(desk, today(desk)) : Set.of();
        LocalDate day = list.get().day().isBefore(today(desk))
                ? today(desk)
                : list.get().day();
        List<ListView.KeptOff> kept = open
                ? ListView.keptOff(DiscardList.keptOff(
                        shelf().dueBeside(name, day, days(desk), desk.zone()), days(desk), day, waiting))
                : List.of();
        return new Answer.Shown(
                status,
                "shelf-list",
                "Discard list " + name,
                Map.of(
                        "list",
                        ListView.of(
                                list.get(),
                                shelf().inBoxesOf(list.get(), desk.zone()),
                                days(desk),
                                today(desk),
                                waiting),
                        "kept",
                        kept,
                        "said",
                        said,
                        "works",
                        visit.may(WORKS),
                        "decides",
                        visit.may(Rights.ACT)));
    }

    private Answer scan(Visit visit, Desk desk) {
        String name = visit.form("list");
        String code = visit.form("code");
        if (code.isEmpty() || code.length() > 64) {
            return list(visit, desk, name, "Scan a box or a soil. Nothing was done.", 400);
        }
        try {
            shelf().scan(
                            name,
                            code,
                            days(desk),
                            waiting(desk, today(desk)),
                            visit.actor(),
                            context.clock().instant(),
                            desk.zone());
        } catch (Refused refused) {
            return list(visit, desk, name, said(refused), 409);
        }
        return Answer.moved("/shelf/lists/" + Words.part(name));
    }

    private Answer sign(Visit visit, Desk desk) {
        String name = visit.form("list");
        Optional<PasswordAgain.Wrong> wrong =
                PasswordAgain.wrong(context, visit, "Nothing was signed and nothing was discarded.");
        if (wrong.isPresent()) {
            return list(visit, desk, name, wrong.get().says(), wrong.get().status());
        }
        Instant now = context.clock().instant();
        try {
            context.store().clockDoubt().ifPresent(why -> {
                throw new Refused("nothing was signed and nothing was discarded, as today's date is in doubt: " + why);
            });
            shelf().sign(name, days(desk), waiting(desk, today(desk)), visit.actor(), now, desk.zone());
        } catch (Refused refused) {
            return list(visit, desk, name, said(refused), 409);
        }
        return Answer.moved("/shelf/lists/" + Words.part(name));
    }

    private static String said(Refused refused) {
        return Words.sentence(String.valueOf(refused.getMessage()));
    }
}
