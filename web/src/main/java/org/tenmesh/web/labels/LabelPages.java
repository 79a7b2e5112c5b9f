package org.tenmesh.web.labels;

import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import java.util.stream.Collectors;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.TrayState;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.shelf.Codes;
import org.tenmesh.print.labels.Label;
import org.tenmesh.print.labels.LabelSheet;
import org.tenmesh.print.labels.LayoutSheet;
import org.tenmesh.store.labels.Printing;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.web.days.ShelfStore;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.Words;

/**
 * Labels as PDF. Those of soils are the same for every lab number of a tray, a hidden control's as any other: tray and well stand on them, and
 * whether the tray holds regulated soil.
 */
public final class LabelPages {
    private static final int MOST_LABELS = 5_000;
    private static final int LONGEST_NUMBER = 4;
    private static final int SHOWN = 20;
    private static final Set<PersonRole> SEES =
            Set.of(PersonRole.IN_CHARGE, PersonRole.QUALITY, PersonRole.BENCH, PersonRole.CLIENT_SERVICE);

    private LabelPages() {}

    /** What labels are for. */
    public enum Kind {
        TRAYS("trays", "Trays", Rights.TRAYS, true),
        SOILS("soils", "Soils of trays", Rights.TRAYS, false),
        RACKS("racks", "Racks", SEES, false),
        BOXES("boxes", "Boxes of submissions", Rights.CLIENTS, false),
        SHELF("shelf", "Boxes and places of the shelf", Rights.TRAYS, false);

        private final String word;
        private final String title;
        private final Set<PersonRole> roles;
        // Trays of two days may have one name; a lab number, a submission and a code of the shelf is given once.
        private final boolean ofDay;

        Kind(String word, String title, Set<PersonRole> roles, boolean ofDay) {
            this.word = word;
            this.title = title;
            this.roles = roles;
            this.ofDay = ofDay;
        }

        public String word() {
            return word;
        }

        public String title() {
            return title;
        }
    }

    public static List<Route> routes(PageContext context) {
        return List.of(
                Route.get(
                        "/labels",
                        SEES,
                        visit -> PageContext.withDay(visit, desk -> form(context, visit, desk, List.of(), 200))),
                Route.get("/labels/file", SEES, visit -> Answer.moved("/labels")),
                Route.post(
                        "/labels/file", SEES, visit -> PageContext.withDay(visit, desk -> file(context, visit, desk))),
                Route.post(
                        "/labels/layout-sheet",
                        Set.of(PersonRole.QUALITY),
                        visit -> PageContext.withDay(visit, desk -> layoutSheet(context, visit, desk))));
    }

    /**
     * What was printed lately.
     *
     * @param labels how many, and the first and the last of them
     * @param again how many of them for a second time, and why; empty text where none was
     */
    public record Line(String at, String by, String what, String labels, String again) {
        static Line of(Printing one, ZoneId zone) {
            String first = one.labels().get(0);
            String last = one.labels().get(one.labels().size() - 1);
            return new Line(
                    Words.moment(one.at(), zone),
                    one.actor(),
                    Arrays.stream(Kind.values())
                            .filter(kind -> kind.word.equals(one.kind()))
                            .map(Kind::title)
                            .findFirst()
                            .orElse(one.kind()),
                    Words.count(one.labels().size()) + ": " + first + (first.equals(last) ? "" : " to " + last),
                    one.again() == 0 ? "" : Words.count(one.again()) + " again: " + one.reason());
        }
    }

    /**
     * What was typed into the form, so that it stands there again when no file was made.
     *
     * @param again whether a reason is asked for, because some were printed before
     */
    public record Typed(String kind, String of, String sheet, String own, String start, String reason, boolean again) {
        static Typed of(Visit visit, boolean again) {
            String start = visit.form("start");
            return new Typed(
                    visit.form("kind"),
                    visit.form("of"),
                    visit.form("sheet"),
                    visit.form("own"),
                    start.isEmpty() ? "1" : start,
                    visit.form("reason"),
                    again);
        }
    }

    private static Answer form(PageContext context, Visit visit, Desk desk, List<String> refused, int status) {
        return form(context, visit, desk, refused, false, status);
    }

    private static Answer form(
            PageContext context, Visit visit, Desk desk, List<String> refused, boolean again, int status) {
        List<Kind> kinds = Arrays.stream(Kind.values())
                .filter(kind -> visit.may(kind.roles))
                .toList();
        return new Answer.Shown(
                status,
                "labels",
                "Labels",
                Map.of(
                        "kinds",
                        kinds,
                        "sheets",
                        List.copyOf(LabelSheet.common().keySet()),
                        "refused",
                        refused,
                        "typed",
                        Typed.of(visit, again),
                        "printed",
                        context
                                .store()
                                .printedLabels(kinds.stream().map(Kind::word).collect(Collectors.toSet()), SHOWN)
                                .stream()
                                .map(one -> Line.of(one, desk.zone()))
                                .toList(),
                        "seesLayout",
                        visit.role() == PersonRole.QUALITY));
    }

    private static Answer file(PageContext context, Visit visit, Desk desk) {
        Optional<Kind> kind = Arrays.stream(Kind.values())
                .filter(one -> one.word.equals(visit.form("kind")) && visit.may(one.roles))
                .findFirst();
        String own = visit.form("own").strip();
        Optional<LabelSheet> sheet = LabelSheet.of(own.isEmpty() ? visit.form("sheet") : own);
        if (kind.isEmpty()) {
            return form(context, visit, desk, List.of("Choose what the labels are for."), 400);
        }
        if (sheet.isEmpty()) {
            return form(
                    context,
                    visit,
                    desk,
                    List.of(
                            "No sheet is written like that. Choose one, or write your own as in the example; labels must lie beside"
                                    + " each other on the page."),
                    400);
        }
        int start = number(visit.form("start")).orElse(1);
        List<Label> labels;
        byte[] pdf;
        try {
            labels = labels(
                    kind.get(), visit.form("of").strip(), desk, context.store().shelf());
            if (labels.isEmpty() || labels.size() > MOST_LABELS) {
                return form(
                        context,
                        visit,
                        desk,
                        List.of(
                                labels.isEmpty()
                                        ? "Nothing of that name is on this day."
                                        : Words.count(labels.size()) + " labels are more than "
                                                + Words.count(MOST_LABELS) + ", the most in one file. Name a part."),
                        400);
            }
            if (start < 1 || start > sheet.get().size()) {
                return form(
                        context,
                        visit,
                        desk,
                        List.of("The sheet has places 1 to " + sheet.get().size() + "; place " + start
                                + " is not on it."),
                        400);
            }
            pdf = org.tenmesh.print.labels.LabelPages.pdf(labels, sheet.get(), start);
        } catch (IllegalArgumentException refused) {
            return form(context, visit, desk, List.of(Words.sentence(String.valueOf(refused.getMessage())) + "."), 400);
        }
        try {
            context.store()
                    .printLabels(
                            kind.get().word,
                            kind.get().ofDay ? desk.name() : "",
                            labels.stream().map(Label::bars).toList(),
                            visit.form("reason").strip(),
                            visit.actor(),
                            context.clock().instant());
        } catch (Refused before) {
            return form(context, visit, desk, List.of(before.getMessage() + "."), true, 409);
        }
        return new Answer.Download(pdf, "application/pdf", "labels-" + kind.get().word + ".pdf");
    }

    private static OptionalInt number(String text) {
        return text.matches("\\d{1," + LONGEST_NUMBER + "}")
                ? OptionalInt.of(Integer.parseInt(text))
                : OptionalInt.empty();
    }

    /** @param of names, or a first and a last one with a hyphen and blanks between them; empty = all of the day */
    private static List<Label> labels(Kind kind, String of, Desk desk, ShelfStore shelf) {
        List<Label> labels = new ArrayList<>();
        switch (kind) {
            case TRAYS ->
                chosen(desk, of)
                        .forEach(tray -> labels.add(Label.tray(tray.name(), keyWell(tray.tray()), tray.regulated())));
            case SOILS ->
                chosen(desk, of)
                        .forEach(tray -> tray.tray()
                                .wells()
                                .forEach(place -> place.labNumber()
                                        .ifPresent(one -> labels.add(
                                                Label.soil(one, tray.name() + " " + place.well(), tray.regulated())))));
            case RACKS -> {
                String[] ends = of.split("\\s*-\\s*", -1);
                int from = number(ends[0]).orElse(0);
                int to = ends.length == 2 ? number(ends[1]).orElse(0) : from;
                for (int rack = from; rack >= 1 && rack <= to && labels.size() <= MOST_LABELS; rack++) {
                    labels.add(Label.rack(String.format("R-%03d", rack), false));
                }
            }
            case BOXES ->
                desk.day().submissions().stream()
                        .filter(one ->
                                of.isEmpty() || List.of(of.split("[,\\s]+")).contains(one.submission()))
                        .forEach(one -> labels.add(box(desk, one)));
            case SHELF -> ofShelf(of, shelf, labels);
        }
        return labels;
    }

    /** Boxes by their codes or a first and a last one, and places by their codes; what is not there yet has no label. */
    private static void ofShelf(String of, ShelfStore shelf, List<Label> labels) {
        String[] ends = of.split("\\s+-\\s+", -1);
        List<String> codes = new ArrayList<>();
        if (ends.length == 2 && Codes.isBox(ends[0]) && Codes.isBox(ends[1])) {
            int last = Integer.parseInt(ends[1].substring(2));
            for (int box = Integer.parseInt(ends[0].substring(2)); box <= last && codes.size() <= MOST_LABELS; box++) {
                codes.add(Codes.box(box));
            }
        } else {
            codes.addAll(List.of(of.split("[,\\s]+")));
        }
        Map<String, Boolean> places = new HashMap<>();
        shelf.places().forEach(place -> places.put(place.place(), place.regulated()));
        for (String code : codes) {
            shelf.box(code).ifPresent(box -> labels.add(Label.shelfBox(code, box.regulated())));
            Optional.ofNullable(places.get(code)).ifPresent(apart -> labels.add(Label.shelfPlace(code, apart)));
        }
    }

    private static Label box(Desk desk, Submission submission) {
        List<Soil> soils = desk.soilsOf(submission.submission());
        return Label.box(
                submission.submission(),
                submission.client() + ", " + Words.of(soils.size(), "soil"),
                soils.stream().anyMatch(soil -> soil.regulated().orElse(false)));
    }

    private static OptionalInt keyWell(Tray tray) {
        return tray.wells().stream()
                .filter(place -> place.purpose() == Tray.Purpose.KEY)
                .mapToInt(place -> place.well().index())
                .findFirst();
    }

    private static List<TrayState> chosen(Desk desk, String of) {
        List<String> ends = List.of(of.split("\\s+-\\s+", -1));
        List<String> names = List.of(of.split("[,\\s]+"));
        return desk.trayStates().stream()
                .filter(tray -> of.isEmpty()
                        || (ends.size() == 2
                                ? tray.name().compareTo(ends.get(0)) >= 0
                                        && tray.name().compareTo(ends.get(1)) <= 0
                                : names.contains(tray.name())))
                .toList();
    }

    private static Answer layoutSheet(PageContext context, Visit visit, Desk desk) {
        context.store()
                .layoutSheetPrinted(desk.name(), visit.actor(), context.clock().instant());
        return new Answer.Download(
                LayoutSheet.pdf(
                        "Layout of " + Words.day(desk.date()) + ", "
                                + desk.day().laboratory().name(),
                        desk.day().trays(),
                        desk.day().controls()),
                "application/pdf",
                "layout-" + desk.name().replaceAll("[^A-Za-z0-9-]", "-") + ".pdf");
    }
}
