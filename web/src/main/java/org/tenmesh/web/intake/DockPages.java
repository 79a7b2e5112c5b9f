package org.tenmesh.web.intake;

import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.time.LocalDate;
import java.time.format.DateTimeParseException;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.UUID;
import java.util.stream.Collectors;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.Cleanliness;
import org.tenmesh.core.bench.Measure;
import org.tenmesh.core.bench.Rack;
import org.tenmesh.core.bench.Subject;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.dock.Booking;
import org.tenmesh.core.dock.DockAct;
import org.tenmesh.core.dock.ExceptionKind;
import org.tenmesh.core.dock.Expected;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.sheets.KeptSheet;
import org.tenmesh.web.days.SheetReader;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.Words;

/** Boxes at the dock: noted, counted against their sheets, exceptions settled, booked in. */
public final class DockPages {
    private static final Set<PersonRole> DOCK =
            Set.of(PersonRole.CLIENT_SERVICE, PersonRole.IN_CHARGE, PersonRole.QUALITY);
    private static final int MOST_TYPED = 2000;

    private final PageContext context;
    private final Dock dock;

    private DockPages(PageContext context) {
        this.context = context;
        this.dock = new Dock(context);
    }

    public static List<Route> routes(PageContext context) {
        DockPages pages = new DockPages(context);
        return List.of(
                Route.get("/dock", DOCK, visit -> PageContext.withDay(visit, desk -> pages.list(visit, desk, "", 200))),
                Route.get(
                        "/dock/{submission}",
                        DOCK,
                        visit -> PageContext.withDay(
                                visit, desk -> pages.one(desk, visit.part("submission"), "", "", 200))),
                Route.post("/dock/typed", DOCK, visit -> PageContext.withDay(visit, desk -> pages.typed(visit, desk))),
                Route.post("/dock/scan", DOCK, visit -> PageContext.withDay(visit, desk -> pages.scan(visit, desk))),
                Route.post("/dock/rest", DOCK, visit -> PageContext.withDay(visit, desk -> pages.rest(visit, desk))),
                Route.post("/dock/rack", DOCK, visit -> PageContext.withDay(visit, desk -> pages.load(visit, desk))),
                Route.post("/dock/act", DOCK, visit -> PageContext.withDay(visit, desk -> pages.act(visit, desk))));
    }

    private Answer list(Visit visit, Desk desk, String said, int status) {
        List<AtDock> all = dock.all(desk);
        String asked = visit.query("q").strip();
        if (!asked.isEmpty()) {
            Optional<AtDock> found = all.stream()
                    .filter(one -> one.kept().submission().equalsIgnoreCase(asked)
                            || one.booking().boxes().stream()
                                    .anyMatch(box -> box.about().equalsIgnoreCase(asked)))
                    .findFirst();
            if (found.isPresent()) {
                return Answer.moved("/dock/" + Words.part(found.get().kept().submission()));
            }
        }
        String words = asked.toLowerCase(Locale.ROOT);
        List<DockView.Line> lines = all.stream()
                .map(DockView::line)
                .filter(line -> line.client().toLowerCase(Locale.ROOT).contains(words))
                .sorted(Comparator.comparing((DockView.Line line) -> order(line.word())))
                .toList();
        boolean none = !asked.isEmpty() && lines.isEmpty();
        return new Answer.Shown(
                status,
                "dock",
                "Dock",
                Map.of(
                        "lines",
                        none ? all.stream().map(DockView::line).toList() : lines,
                        "asked",
                        asked,
                        "said",
                        none
                                ? "No box, submission or client \"" + asked
                                        + "\" is expected. If a box came without a sheet, type what is in it below."
                                : said,
                        "unreadable",
                        dock.unreadable(),
                        "packages",
                        desk.day().packages().stream().map(one -> one.name()).toList(),
                        "typed",
                        visit.form()));
    }

    /** What somebody has to see to comes first. */
    private static int order(String word) {
        return switch (word) {
            case "exceptions open" -> 0;
            case "being counted" -> 1;
            case "expected" -> 2;
            default -> 3;
        };
    }

    private Answer one(Desk desk, String submission, String said, String extra, int status) {
        return dock.one(desk, submission)
                .<Answer>map(at -> new Answer.Shown(
                        status,
                        "dock-submission",
                        at.kept().submission() + " at the dock",
                        Map.of(
                                "view",
                                DockView.of(
                                        at,
                                        dock.parcel(at.kept().submission()),
                                        context.store().bench().racks(),
                                        context.store()
                                                .sheets()
                                                .versionsOfSheet(at.kept().submission()),
                                        desk.zone()),
                                "said",
                                said,
                                "extra",
                                extra,
                                "kinds",
                                Arrays.stream(ExceptionKind.values())
                                        .filter(ExceptionKind::saidByPerson)
                                        .map(kind -> new DockView.Choice(kind.word(), kind.phrase()))
                                        .toList())))
                .orElseGet(Answer::notFound);
    }

    /** A submission without a file: what was typed becomes a worksheet like any other, read by the same reader. */
    private Answer typed(Visit visit, Desk desk) {
        String client = visit.form("client").strip();
        List<String> labels = visit.form("labels")
                .lines()
                .map(String::strip)
                .filter(text -> !text.isEmpty())
                .toList();
        if (client.isEmpty() || labels.isEmpty() || labels.size() > MOST_TYPED) {
            return list(
                    visit,
                    desk,
                    "A submission has a client and one label on each line, " + Words.count(MOST_TYPED)
                            + " at most. Nothing was kept; what you typed is still below.",
                    400);
        }
        Optional<LocalDate> promised = Optional.empty();
        try {
            promised = visit.form("promised").isEmpty()
                    ? Optional.empty()
                    : Optional.of(LocalDate.parse(visit.form("promised")));
        } catch (DateTimeParseException wrong) {
            return list(visit, desk, "The promised date is written like 2026-11-28. Nothing was kept.", 400);
        }
        Instant now = context.clock().instant();
        StringBuilder sheet = new StringBuilder();
        line(sheet, "Client", client);
        line(sheet, "Country", visit.form("country").strip().toUpperCase(Locale.ROOT));
        line(sheet, "Region", visit.form("region").strip());
        // With the moment, two submissions with the same labels are two files.
        line(sheet, "Typed", visit.actor() + " " + now);
        sheet.append("No,Sample\n");
        for (int i = 0; i < labels.size(); i++) {
            line(sheet, String.valueOf(i + 1), labels.get(i));
        }
        byte[] bytes = sheet.toString().getBytes(StandardCharsets.UTF_8);
        SheetReader.Sheet read = context.sheets().orElseThrow().read("typed.csv", bytes);
        if (!read.problems().isEmpty()) {
            SheetReader.Problem first = read.problems().get(0);
            return list(
                    visit,
                    desk,
                    "Found " + first.found() + " (" + first.cell() + "), expected " + first.expected()
                            + ". Nothing was kept; what you typed is still below.",
                    400);
        }
        String submission = context.store()
                .sheets()
                .keep(
                        "typed.csv",
                        bytes,
                        new KeptSheet.Said(
                                client,
                                promised,
                                Optional.of(visit.form("package")).filter(text -> !text.isEmpty()),
                                Optional.of(visit.form("note")).filter(text -> !text.isEmpty())),
                        visit.actor(),
                        now,
                        now.atZone(desk.zone()).toLocalDate());
        return Answer.moved("/dock/" + Words.part(submission));
    }

    private static void line(StringBuilder sheet, String name, String value) {
        if (!value.isEmpty()) {
            sheet.append(name).append(",\"").append(value.replace("\"", "\"\"")).append("\"\n");
        }
    }

    private Answer scan(Visit visit, Desk desk) {
        Optional<AtDock> at = dock.one(desk, visit.form("submission"));
        if (at.isEmpty()) {
            return Answer.notFound();
        }
        String scanned = visit.form("bag").strip();
        List<Expected.Bag> meant = at.get().booking().expected().meant(scanned);
        List<Expected.Bag> unseen = meant.stream()
                .filter(bag -> at.get().booking().notThere().contains(bag))
                .toList();
        if (meant.isEmpty()) {
            return one(
                    desk,
                    visit.form("submission"),
                    "\"" + scanned
                            + "\" is not on the sheet. If it is a bag of this box, note it below as one that is not on"
                            + " the sheet.",
                    scanned,
                    409);
        }
        if (unseen.size() > 1) {
            return one(
                    desk,
                    visit.form("submission"),
                    "\"" + scanned + "\" may be bag "
                            + Words.and(unseen.stream()
                                    .map(bag -> bag.number() + " (" + bag.words() + ")")
                                    .toList())
                            + ". Type # and its number, such as #"
                            + unseen.get(0).number() + ".",
                    "",
                    409);
        }
        Expected.Bag bag = unseen.isEmpty() ? meant.get(0) : unseen.get(0);
        return keep(visit, desk, at.get(), DockAct.What.THERE, bag.number(), "", DockAct.SCANNED, "");
    }

    /** Every bag that was not seen yet is ticked. */
    private Answer rest(Visit visit, Desk desk) {
        Optional<AtDock> at = dock.one(desk, visit.form("submission"));
        if (at.isEmpty()) {
            return Answer.notFound();
        }
        for (Expected.Bag bag : at.get().booking().notThere()) {
            try {
                dock.keep(desk, at.get(), act(visit, DockAct.What.THERE, bag.number(), "", DockAct.TICKED, ""));
            } catch (Refused refused) {
                return one(desk, visit.form("submission"), String.valueOf(refused.getMessage()), "", 409);
            }
        }
        return Answer.moved(address(visit));
    }

    /** Bags of a submission that is booked in are put on a rack, which knows from then on what lies on it and whether that is regulated. */
    private Answer load(Visit visit, Desk desk) {
        String submission = visit.form("submission");
        Optional<AtDock> at = dock.one(desk, submission);
        if (at.isEmpty()) {
            return Answer.notFound();
        }
        String code = Subject.rack(visit.form("rack").strip().toUpperCase(Locale.ROOT))
                .code();
        List<String> numbers = List.of(visit.form("first"), visit.form("last"), visit.form("place"));
        if (!Subject.isRack(code) || !numbers.stream().allMatch(number -> number.matches("[1-9][0-9]{0,4}"))) {
            return one(
                    desk,
                    submission,
                    "A rack's label is R and its number; bags and places are whole numbers from 1. Nothing was noted.",
                    "",
                    400);
        }
        if (at.get().booking().booked().isEmpty()) {
            return one(desk, submission, "Book it in first. Nothing was noted.", "", 409);
        }
        boolean regulated = at.get().booking().apart();
        Set<Integer> bookedIn = at.get().booking().soils().stream()
                .map(Booking.BookedSoil::number)
                .collect(Collectors.toSet());
        for (String number : numbers.subList(0, 2)) {
            if (!bookedIn.contains(Integer.valueOf(number))) {
                return one(desk, submission, "Bag " + number + " is not booked in. Nothing was noted.", "", 409);
            }
        }
        Rack.Load load;
        try {
            load = new Rack.Load(
                    submission,
                    Integer.parseInt(numbers.get(0)),
                    Integer.parseInt(numbers.get(1)),
                    Integer.parseInt(numbers.get(2)),
                    regulated);
        } catch (IllegalArgumentException wrong) {
            return one(
                    desk,
                    submission,
                    Words.sentence(String.valueOf(wrong.getMessage())) + " Nothing was noted.",
                    "",
                    400);
        }
        List<BenchAct> acts = context.store().bench().racks().stream()
                .filter(act -> act.subject().equals(Subject.rack(code)))
                .toList();
        Optional<String> refused = Rack.of(Rack.round(acts))
                .refusal(load, Cleanliness.uncleaned(context.store().bench().sinceCleaned(code)));
        if (refused.isPresent()) {
            return one(desk, submission, refused.get() + " Nothing was noted.", "", 409);
        }
        Instant now = context.clock().instant();
        context.store()
                .bench()
                .keep(
                        new BenchAct(
                                UUID.randomUUID().toString(),
                                Subject.rack(code),
                                "",
                                BenchAct.What.LOADED,
                                submission,
                                "",
                                visit.actor(),
                                "dock",
                                now,
                                now,
                                Map.of(
                                        Measure.FIRST_BAG, Double.valueOf(numbers.get(0)),
                                        Measure.LAST_BAG, Double.valueOf(numbers.get(1)),
                                        Measure.PLACE, Double.valueOf(numbers.get(2)),
                                        Measure.REGULATED, regulated ? 1.0 : 0.0)),
                        visit.actor());
        return Answer.moved(address(visit));
    }

    private Answer act(Visit visit, Desk desk) {
        Optional<AtDock> at = dock.one(desk, visit.form("submission"));
        Optional<DockAct.What> what = DockAct.What.of(visit.form("what"));
        if (at.isEmpty() || what.isEmpty()) {
            return Answer.notFound();
        }
        String number = visit.form("number").strip();
        if (!number.matches("[0-9]{0,7}")) {
            return one(desk, visit.form("submission"), "Found \"" + number + "\", expected a whole number.", "", 400);
        }
        String says = visit.form("says").strip();
        if (what.get() == DockAct.What.BOOKED) {
            // What it was booked in by is what the lists say now, whatever a form says.
            Booking booking = at.get().booking();
            DockAct act = act(
                    visit,
                    what.get(),
                    number.isEmpty() ? 0 : Integer.parseInt(number),
                    booking.permit(),
                    says,
                    Words.shortened(booking.ruling().says(), DockAct.LONGEST));
            try {
                dock.book(desk, at.get(), act);
            } catch (Refused refused) {
                return one(desk, visit.form("submission"), String.valueOf(refused.getMessage()), "", 409);
            }
            return Answer.moved(address(visit));
        }
        return keep(
                visit,
                desk,
                at.get(),
                what.get(),
                number.isEmpty() ? 0 : Integer.parseInt(number),
                visit.form("about").strip(),
                what.get() == DockAct.What.ORIGIN ? says.toUpperCase(Locale.ROOT) : says,
                visit.form("reason").strip());
    }

    private Answer keep(
            Visit visit,
            Desk desk,
            AtDock at,
            DockAct.What what,
            int number,
            String about,
            String says,
            String reason) {
        try {
            DockAct act = act(visit, what, number, about, says, reason);
            if (what == DockAct.What.TAKEN_BACK) {
                dock.takeBack(desk, at, act);
            } else {
                dock.keep(desk, at, act);
            }
        } catch (Refused refused) {
            return one(desk, visit.form("submission"), String.valueOf(refused.getMessage()), "", 409);
        } catch (IllegalArgumentException wrong) {
            return one(
                    desk,
                    visit.form("submission"),
                    Words.sentence(String.valueOf(wrong.getMessage())) + " Nothing was done.",
                    "",
                    400);
        }
        return Answer.moved(address(visit));
    }

    private DockAct act(Visit visit, DockAct.What what, int number, String about, String says, String reason) {
        return new DockAct(
                UUID.randomUUID().toString(),
                visit.form("submission"),
                what,
                number,
                about,
                says,
                reason,
                visit.actor(),
                context.clock().instant());
    }

    private static String address(Visit visit) {
        return "/dock/" + Words.part(visit.form("submission"));
    }
}
