package org.tenmesh.web.intake;

import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.Measure;
import org.tenmesh.core.dock.Booking;
import org.tenmesh.core.dock.Changed;
import org.tenmesh.core.dock.Decision;
import org.tenmesh.core.dock.DockAct;
import org.tenmesh.core.dock.ExceptionKind;
import org.tenmesh.core.dock.Exceptional;
import org.tenmesh.core.dock.Expected;
import org.tenmesh.core.dock.Origin;
import org.tenmesh.store.sheets.SaidAnew;
import org.tenmesh.web.words.ChangeLine;
import org.tenmesh.web.words.Words;

/**
 * One submission at the dock.
 *
 * @param word how it stands, in a word or two
 * @param origin as stated last
 * @param lookedUp what was looked up, in which lists of which dates
 * @param unsettled whether nobody has settled yet whether the origin is regulated
 * @param ruling what the lists say of it
 * @param permit under which it is kept; empty where it is not regulated, or no permit admits it
 * @param parcel its code in the account of regulated soil; empty where it has none
 * @param lacking what is to be done before it can be booked in
 * @param soils how many may be laid out
 * @param booked when and by whom it was booked in; empty before
 * @param racks where its bags were put
 * @param acts everything that was done and counts, the newest first
 * @param changed what was said and holds no longer, the newest change first
 */
public record DockView(
        String submission,
        String client,
        String promised,
        String word,
        boolean regulated,
        boolean unsettled,
        String origin,
        String lookedUp,
        String ruling,
        String permit,
        String parcel,
        List<String> warns,
        List<String> boxes,
        String counted,
        String weighed,
        List<BagLine> bags,
        int unseen,
        List<ExceptionLine> exceptions,
        List<String> lacking,
        int soils,
        String booked,
        List<String> racks,
        List<ActLine> acts,
        List<ChangeLine> changed) {

    /** @param word "there", "not seen yet" or "missing" */
    public record BagLine(int number, String label, String layer, String word, String seen, String noted) {}

    /** @param dialogue what the client was asked and answered */
    public record ExceptionLine(
            String key,
            String about,
            String phrase,
            String says,
            boolean open,
            boolean asked,
            List<String> dialogue,
            String settled,
            List<Choice> choices) {}

    /** One thing that may be decided. */
    public record Choice(String word, String phrase) {}

    /** One thing that was done, and may be taken back. */
    public record ActLine(String id, String says) {}

    /** One line of the list. */
    public record Line(
            String submission,
            String client,
            String promised,
            String origin,
            String word,
            boolean regulated,
            boolean unsettled,
            int there,
            int expected,
            int open,
            String boxes) {}

    static Line line(AtDock at) {
        Booking booking = at.booking();
        return new Line(
                at.kept().submission(),
                at.kept().said().client(),
                promised(at),
                booking.arrival().origin().toString(),
                word(booking),
                booking.regulated(),
                booking.apart() && !booking.regulated(),
                booking.there().size(),
                booking.expected().bags().size(),
                booking.open().size(),
                booking.boxes().stream().map(DockAct::about).collect(Collectors.joining(", ")));
    }

    private static String promised(AtDock at) {
        return at.kept().said().promisedOn().map(Words::day).orElse("");
    }

    static String word(Booking booking) {
        if (booking.mayBeLaidOut()) {
            return "booked in";
        }
        if (booking.boxes().isEmpty()) {
            return "expected";
        }
        return booking.open().isEmpty() ? "being counted" : "exceptions open";
    }

    static DockView of(AtDock at, Optional<String> parcel, List<BenchAct> racks, List<SaidAnew> versions, ZoneId zone) {
        Booking booking = at.booking();
        boolean counted = booking.counted().isPresent();
        List<BagLine> bags = new ArrayList<>();
        for (Expected.Bag bag : booking.expected().bags()) {
            Optional<DockAct> there = booking.there().stream()
                    .filter(act -> act.number() == bag.number())
                    .findFirst();
            String noted = booking.exceptions().stream()
                    .filter(one -> one.number() == bag.number() && one.kind() != ExceptionKind.MISSING)
                    .map(one -> one.kind().phrase())
                    .collect(Collectors.joining(", "));
            bags.add(new BagLine(
                    bag.number(),
                    bag.label(),
                    bag.layer(),
                    there.isPresent() ? "there" : counted ? "missing" : "not seen yet",
                    there.map(act -> act.says() + ", " + by(act, zone)).orElse(""),
                    noted));
        }
        return new DockView(
                at.kept().submission(),
                at.kept().said().client(),
                promised(at),
                word(booking),
                booking.regulated(),
                booking.apart() && !booking.regulated(),
                booking.arrival().origin().toString(),
                booking.ruling().lookedUp(),
                booking.madeRegulated()
                        .map(act -> act.reason() + " (" + by(act, zone) + ").")
                        .or(() -> booking.booked().map(DockAct::reason))
                        .filter(text -> !text.isEmpty())
                        .orElse(booking.ruling().says()),
                booking.permit(),
                parcel.orElse(""),
                booking.regulated() ? booking.ruling().warns() : List.of(),
                booking.boxes().stream()
                        .map(box -> box.about() + ": " + box.says() + (box.number() > 0 ? ", brought by hand" : "")
                                + (box.reason().isEmpty() ? "" : ", " + box.reason()) + " (" + by(box, zone) + ")")
                        .toList(),
                booking.counted()
                        .map(act -> Words.of(act.number(), "bag") + " counted (" + by(act, zone) + ")")
                        .orElse(""),
                booking.weighed()
                        .map(act -> Words.count(act.number()) + " g together (" + by(act, zone) + ")")
                        .orElse(""),
                bags,
                booking.notThere().size(),
                booking.exceptions().stream()
                        .sorted(Comparator.comparing(one -> !one.open()))
                        .map(one -> exception(one, zone))
                        .toList(),
                booking.lacking(),
                booking.soils().size(),
                booking.booked().map(act -> by(act, zone)).orElse(""),
                racks.stream()
                        .filter(act -> act.what() == BenchAct.What.LOADED
                                && act.about().equals(at.kept().submission()))
                        .map(act -> "Bags " + Words.plain(act.measured(Measure.FIRST_BAG)) + " to "
                                + Words.plain(act.measured(Measure.LAST_BAG)) + " were put on rack "
                                + act.subject().code() + ", from place " + Words.plain(act.measured(Measure.PLACE))
                                + " ("
                                + act.person() + ", " + Words.moment(act.deviceAt(), zone) + ")")
                        .toList(),
                acts(booking, zone),
                changed(booking, versions, zone));
    }

    private static List<ChangeLine> changed(Booking booking, List<SaidAnew> versions, ZoneId zone) {
        List<ChangeLine> lines = new ArrayList<>();
        for (Changed one : booking.changed()) {
            lines.add(
                    0,
                    new ChangeLine(
                            one.first().what().phrase(),
                            value(one.first()) + " (" + by(one.first(), zone) + ")",
                            one.takenBack() ? "taken back" : value(one.by()),
                            one.by().reason(),
                            by(one.by(), zone)));
        }
        Origin now = booking.arrival().origin();
        if (!now.equals(booking.expected().origin())) {
            booking.originBy()
                    .ifPresent(act -> lines.add(new ChangeLine(
                            "origin of the sheet",
                            booking.expected().origin().toString(),
                            now.toString(),
                            act.reason(),
                            by(act, zone))));
        }
        lines.addAll(ChangeLine.of(versions, zone));
        return lines;
    }

    /** What an act said, without who said it. */
    private static String value(DockAct act) {
        return switch (act.what()) {
            case COUNTED -> Words.of(act.number(), "bag");
            case WEIGHED -> Words.count(act.number()) + " g";
            case ORIGIN -> new Origin(act.says(), act.about()).toString();
            case BOX -> act.about() + ": " + act.says() + (act.number() > 0 ? ", brought by hand" : "") + remark(act);
            case THERE -> "bag " + act.number() + ", " + act.says();
            case EXTRA -> "\"" + act.about() + "\"" + remark(act);
            case FOUND ->
                (act.number() > 0 ? "bag " + act.number() : "the submission") + ", " + found(act) + remark(act);
            case DECIDED -> decided(act) + remark(act);
            case ASKED, ANSWERED -> act.reason();
            case BOOKED ->
                Words.of(act.number(), "soil") + ", " + act.says()
                        + (act.about().isEmpty() ? "" : ", permit " + act.about());
            case MADE_REGULATED, TAKEN_BACK -> act.reason();
        };
    }

    private static String remark(DockAct act) {
        return act.reason().isEmpty() ? "" : ": " + act.reason();
    }

    private static String found(DockAct act) {
        return ExceptionKind.of(act.says()).map(ExceptionKind::phrase).orElse(act.says());
    }

    private static String decided(DockAct act) {
        return Arrays.stream(Decision.values())
                .filter(one -> one.word().equals(act.says()))
                .map(Decision::phrase)
                .findFirst()
                .orElse(act.says());
    }

    private static ExceptionLine exception(Exceptional one, ZoneId zone) {
        return new ExceptionLine(
                one.key(),
                one.about(),
                one.kind().phrase(),
                one.says(),
                one.open(),
                one.asked(),
                one.dialogue().stream()
                        .map(act -> act.what().phrase() + ": " + act.reason() + " (" + by(act, zone) + ")")
                        .toList(),
                one.settledBy()
                        .map(act -> one.decision().map(Decision::phrase).orElse(act.says()) + ": " + act.reason() + " ("
                                + by(act, zone) + ")")
                        .orElse(""),
                one.kind().decisions().stream()
                        .map(decision -> new Choice(decision.word(), decision.phrase()))
                        .toList());
    }

    private static List<ActLine> acts(Booking booking, ZoneId zone) {
        List<ActLine> lines = new ArrayList<>();
        for (DockAct act : booking.mayTakeBack()) {
            lines.add(0, new ActLine(act.id(), says(act) + " (" + by(act, zone) + ")"));
        }
        return lines;
    }

    private static String says(DockAct act) {
        String number = act.number() > 0 && act.what() != DockAct.What.BOX ? " " + act.number() : "";
        return act.what().phrase()
                + number
                + switch (act.what()) {
                    case BOX, EXTRA -> ", " + act.about();
                    case FOUND, DECIDED -> ", " + act.says() + (act.reason().isEmpty() ? "" : ": " + act.reason());
                    default -> "";
                };
    }

    private static String by(DockAct act, ZoneId zone) {
        return act.actor() + ", " + Words.moment(act.at(), zone);
    }
}
