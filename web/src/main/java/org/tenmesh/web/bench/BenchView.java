package org.tenmesh.web.bench;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.BenchWork;
import org.tenmesh.core.bench.Path;
import org.tenmesh.core.bench.Step;
import org.tenmesh.core.bench.Subject;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.RedoOrder;
import org.tenmesh.core.desk.TrayState;
import org.tenmesh.core.desk.Work;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.web.cards.GateRow;
import org.tenmesh.web.cards.OpenDay;
import org.tenmesh.web.words.ChangeLine;
import org.tenmesh.web.words.DayAddress;
import org.tenmesh.web.words.Words;

/**
 * The one thing to do now with a tray, a soil or a rack, and what else it needs.
 *
 * @param heading what was scanned, as it is called
 * @param now the one thing; empty when nothing is to be done
 * @param why an order that it follows from; empty when it follows from none
 * @param steps every step in order
 * @param again soils of the tray whose portion is to be made again
 * @param wells twelve of them for a tray, none otherwise
 * @param last what was noted last and may be taken back
 * @param changed what was noted and taken back, the newest first
 * @param noted the soil's shortages and spills, a sentence each
 */
public record BenchView(
        Subject subject,
        String heading,
        boolean regulated,
        Optional<Now> now,
        String why,
        List<StepLine> steps,
        List<Line> again,
        List<WellCell> wells,
        Optional<Last> last,
        List<ChangeLine> changed,
        List<String> noted) {

    /**
     * The one thing to do now.
     *
     * @param begins whether it goes on by itself, so that its beginning is noted first
     * @param runs whether it has begun
     * @param begunSays when and by whom; empty before
     * @param overMs when it is over, ms since 1970 by the device's clock; 0 where no time is set or it has not begun
     * @param overSays the same as a clock shows it
     * @param shut instruments of the method whose gates are shut; one sentence each
     * @param lots that can be poured in it, those in use first; none where none is registered
     * @param things equipment of these instruments with something wrong that does not shut them; one sentence each
     */
    public record Now(
            String key,
            String phrase,
            String big,
            String what,
            String methodTitle,
            String methodHref,
            boolean begins,
            boolean runs,
            boolean reads,
            long lastsS,
            String begunSays,
            long overMs,
            String overSays,
            List<Instrument> instruments,
            List<String> shut,
            List<String> things,
            List<LotChoice> lots,
            List<String> cautions) {
        /** The lots in use of what is poured, with what they are of; empty text where none is. */
        public String lotsInUse() {
            return lots.stream()
                    .filter(LotChoice::inUse)
                    .map(one -> one.name() + " (" + one.standsFor() + ")")
                    .collect(Collectors.joining(", "));
        }
    }

    /** Where vessels may be handed over to. */
    public record Instrument(String name, boolean shut) {}

    /**
     * One step of the whole way.
     *
     * @param word "done", "now", "runs", "waits" or "not noted"
     */
    public record StepLine(
            String key, String group, String word, String phrase, String what, String noted, boolean begins) {}

    /**
     * One well of the plate.
     *
     * @param labNumber empty when nothing lies in it
     * @param says "key well", "empty", "spilt", "too little soil" or nothing
     */
    public record WellCell(String well, String labNumber, String says, boolean key, boolean chosen) {}

    /** One thing in a list of the bench. */
    public record Line(String code, String href, String says, boolean ordered, boolean regulated) {}

    /** A step that goes on by itself. */
    public record Timer(String code, String href, String says, long overMs, String overSays, boolean regulated) {}

    /** What was noted last. */
    public record Last(String id, String says) {}

    static List<Line> list(BenchDay day) {
        List<Line> lines = new ArrayList<>();
        Desk desk = day.desk();
        for (Tray tray : desk.day().trays()) {
            Optional<BenchWork.Line> now = day.of(tray).now();
            boolean running =
                    now.filter(line -> line.state() == BenchWork.State.RUNS).isPresent();
            Optional<RedoOrder> order = day.order(tray);
            if (now.isPresent() && !running) {
                lines.add(new Line(
                        tray.tray(),
                        "/bench/" + Words.part(tray.tray()),
                        order.map(o -> o.work().word() + ": " + desk.methodTitle(o.method()) + ", ")
                                        .orElse("")
                                + says(now.get()),
                        order.isPresent(),
                        regulated(desk, tray)));
            }
            day.again(tray).forEach(one -> lines.add(again(day, tray, one)));
        }
        for (Subject rack : day.racks()) {
            day.beforeLayout(rack)
                    .now()
                    .filter(line -> line.state() == BenchWork.State.WAITS)
                    .ifPresent(line -> lines.add(
                            new Line("Rack " + rack.code(), href(rack), says(line), false, day.regulated(rack))));
        }
        lines.sort((a, b) -> Boolean.compare(b.ordered(), a.ordered()));
        return lines;
    }

    private static Line again(BenchDay day, Tray tray, BenchDay.Again one) {
        return new Line(
                one.labNumber().text(),
                href(Subject.soil(day.desk().name(), one.labNumber().text())),
                "spilt, make again: " + one.work().now().map(BenchView::says).orElse(""),
                true,
                regulated(day.desk(), tray));
    }

    /** A step in a few words. */
    private static String says(BenchWork.Line line) {
        String big = line.step().big();
        String phrase = line.step().doing().phrase();
        String words = phrase.equals(big) ? phrase : phrase + ": " + big;
        return line.step().reads() ? words + ", " + line.path().title() : words;
    }

    static String href(Subject subject) {
        return switch (subject.kind()) {
            case TRAY -> "/bench/" + Words.part(subject.code());
            case SOIL -> "/bench/soil/" + Words.part(subject.code());
            case RACK -> "/bench/rack/" + Words.part(subject.code());
            case EQUIPMENT -> "/bench/mill/" + Words.part(subject.code());
        };
    }

    static List<Timer> timers(BenchDay day) {
        return day.running().stream()
                .map(one -> new Timer(
                        one.getKey().code(),
                        href(one.getKey()),
                        says(one.getValue()),
                        one.getValue().over().map(at -> at.toEpochMilli()).orElse(0L),
                        one.getValue()
                                .over()
                                .map(at -> Words.moment(at, day.desk().zone()))
                                .orElse(""),
                        day.regulated(one.getKey())))
                .sorted(java.util.Comparator.comparingLong(Timer::overMs))
                .toList();
    }

    /** Trays of earlier days that are still to be made again. */
    static List<Line> earlier(List<OpenDay> open, Desk desk) {
        return open.stream()
                .flatMap(day -> day.orders().stream()
                        .map(order -> new Line(
                                order.tray(),
                                DayAddress.on(day.day(), "/bench/" + Words.part(order.tray())),
                                "of " + day.title() + ", " + order.work().word() + ": "
                                        + desk.methodTitle(order.method()),
                                true,
                                day.regulated().contains(order.tray()))))
                .toList();
    }

    /** Whether any soil of the tray is regulated: then all of it is kept apart. */
    static boolean regulated(Desk desk, Tray tray) {
        return desk.trayState(tray.tray()).map(TrayState::regulated).orElse(false);
    }

    /**
     * A tray.
     *
     * @param chosen lab number of the soil that was scanned; empty text when the tray was
     * @param under what addresses of an earlier day begin with; empty text for the newest
     */
    static BenchView of(BenchDay day, Tray tray, String chosen, String under) {
        Desk desk = day.desk();
        Subject subject = day.subject(tray);
        BenchWork work = day.of(tray);
        Optional<RedoOrder> order = day.order(tray);
        Map<String, String> told = new HashMap<>();
        for (BenchAct act : day.acts(subject)) {
            boolean about = act.what() == BenchAct.What.SPILT || act.what() == BenchAct.What.TOO_LITTLE;
            if (about && !act.about().isEmpty()) {
                told.put(act.about(), act.what().phrase());
            }
        }
        List<WellCell> wells = new ArrayList<>();
        for (int i = 0; i < Well.PER_TRAY; i++) {
            wells.add(new WellCell(new Well(i).toString(), "", "empty", false, false));
        }
        for (Tray.Place place : tray.wells()) {
            boolean key = place.purpose() == Tray.Purpose.KEY;
            String number = place.labNumber().map(LabNumber::text).orElse("");
            wells.set(
                    place.well().index(),
                    new WellCell(
                            place.well().toString(),
                            number,
                            key
                                    ? "key well"
                                    : number.isEmpty()
                                            ? "empty"
                                            : told.getOrDefault(
                                                    number,
                                                    order.map(one -> says(one, place))
                                                            .orElse("")),
                            key,
                            !number.isEmpty() && number.equals(chosen)));
        }
        return new BenchView(
                subject,
                "Tray " + tray.tray(),
                regulated(desk, tray),
                work.now().map(line -> now(day, line, PouredLot.fitting(day, tray, line))),
                order.map(one -> why(desk, one)).orElse(""),
                steps(day, work),
                day.again(tray).stream()
                        .map(one -> again(day, tray, one))
                        .map(line -> new Line(line.code(), under + line.href(), line.says(), true, line.regulated()))
                        .toList(),
                wells,
                last(day, subject, work),
                changed(day, subject, work),
                List.of());
    }

    /** A soil whose portion is made again, or that is in no tray yet. */
    static BenchView soil(BenchDay day, LabNumber labNumber) {
        Desk desk = day.desk();
        Subject subject = Subject.soil(desk.name(), labNumber.text());
        Optional<Tray> tray = desk.place(labNumber).map(Desk.Place::tray);
        Optional<BenchDay.Again> again = tray.flatMap(one -> day.again(one).stream()
                .filter(it -> it.labNumber().equals(labNumber))
                .findFirst());
        BenchWork work = again.map(BenchDay.Again::work)
                .orElseGet(() ->
                        tray.isPresent() ? new BenchWork(List.of(), Optional.empty()) : day.beforeLayout(subject));
        return new BenchView(
                subject,
                "Soil " + labNumber.text(),
                tray.map(one -> regulated(desk, one)).orElse(false),
                work.now().map(line -> now(day, line, List.of())),
                again.map(one -> "Spilt at "
                                + Words.moment(one.spilt().storedAt(), desk.zone()) + ": take it again from tray "
                                + tray.map(Tray::tray).orElse("") + ", well "
                                + desk.place(labNumber)
                                        .map(place -> place.well().toString())
                                        .orElse("") + ".")
                        .orElse(""),
                steps(day, work),
                List.of(),
                List.of(),
                last(day, subject, work),
                changed(day, subject, work),
                List.of());
    }

    static BenchView rack(BenchDay day, String rack) {
        Subject subject = Subject.rack(rack);
        BenchWork work = day.beforeLayout(subject);
        return new BenchView(
                subject,
                "Rack " + rack,
                day.regulated(subject),
                work.now().map(line -> now(day, line, List.of())),
                "",
                steps(day, work),
                List.of(),
                List.of(),
                last(day, subject, work),
                changed(day, subject, work),
                List.of());
    }

    private static Now now(BenchDay day, BenchWork.Line line, List<LotChoice> lots) {
        Desk desk = day.desk();
        String method = line.step().method().orElse("");
        List<String> shut = new ArrayList<>();
        List<Instrument> instruments = new ArrayList<>();
        // A shut gate is told from the first step on: nobody need scoop a tray that cannot be read.
        Map<String, String> gates = shut(desk);
        Set<String> read = new LinkedHashSet<>();
        for (Step step : line.path().steps()) {
            for (String instrument : day.instruments(step)) {
                read.add(instrument);
                if (step.key().equals(line.step().key())) {
                    instruments.add(new Instrument(instrument, gates.containsKey(instrument)));
                }
                Optional.ofNullable(gates.get(instrument))
                        .filter(says -> !shut.contains(says))
                        .ifPresent(shut::add);
            }
        }
        boolean runs = line.state() == BenchWork.State.RUNS;
        return new Now(
                line.step().key(),
                line.step().doing().phrase(),
                line.step().big(),
                line.step().what(),
                line.path().title(),
                method.isEmpty() ? "" : "/methods/" + Words.part(method),
                line.step().waits(),
                runs,
                line.step().reads(),
                line.step().lasts().toSeconds(),
                runs ? line.act().map(act -> noted(act, desk)).orElse("") : "",
                line.over().map(at -> at.toEpochMilli()).orElse(0L),
                line.over().map(at -> Words.time(at, desk.zone())).orElse(""),
                instruments,
                shut,
                GateRow.of(desk).stream()
                        .filter(gate -> read.contains(gate.instrument()))
                        .flatMap(gate -> gate.things().stream())
                        .filter(thing -> !thing.refused())
                        .map(thing -> Words.sentence(thing.says()) + ". " + thing.follows())
                        .distinct()
                        .toList(),
                lots,
                line.step().cautions());
    }

    /** Why nothing may go on each instrument whose gate is shut. */
    static Map<String, String> shut(Desk desk) {
        Map<String, String> shut = new HashMap<>();
        GateRow.of(desk).forEach(gate -> gate.shutSays().ifPresent(says -> shut.put(gate.instrument(), says)));
        return shut;
    }

    private static List<StepLine> steps(BenchDay day, BenchWork work) {
        List<StepLine> steps = new ArrayList<>();
        Set<Path> over = new HashSet<>();
        for (BenchWork.Line line : work.lines()) {
            boolean all = work.lines().stream()
                    .filter(one -> one.path().equals(line.path()))
                    .allMatch(one -> one.state() == BenchWork.State.DONE || one.state() == BenchWork.State.PASSED);
            if (all) {
                // A portion that was read needs no more than a line.
                if (over.add(line.path())) {
                    steps.add(new StepLine(
                            line.step().key(), "", "done", line.path().title(), "", "", false));
                }
                continue;
            }
            boolean now = work.now().filter(line::equals).isPresent();
            steps.add(new StepLine(
                    line.step().key(),
                    line.step().what().equals(line.path().title())
                            ? ""
                            : line.path().title() + (line.path().again() ? ", again" : ""),
                    now
                            ? "now"
                            : switch (line.state()) {
                                case DONE -> "done";
                                case RUNS -> "runs";
                                case WAITS -> "waits";
                                case PASSED -> line.step().reads() ? "read" : "not noted";
                            },
                    line.step().doing().phrase().equals(line.step().big())
                            ? line.step().big()
                            : line.step().doing().phrase() + ": " + line.step().big(),
                    line.step().what(),
                    line.act().map(act -> noted(act, day.desk())).orElse(""),
                    line.step().waits() && line.state() == BenchWork.State.WAITS));
        }
        return steps;
    }

    private static String noted(BenchAct act, Desk desk) {
        return Words.time(act.deviceAt(), desk.zone()) + ", " + act.person()
                + (act.about().isEmpty() ? "" : ", " + act.about())
                + (act.told().isEmpty() ? "" : " (" + act.told() + ")");
    }

    /** What an act was about, so that nobody takes back what they did not mean; empty text for one about no step. */
    private static String step(BenchWork work, BenchAct act) {
        return act.step().equals(BenchWork.DUMP)
                ? "Tray dumped: "
                : work.line(act.step())
                        .map(line -> line.step().doing().phrase() + ": ")
                        .orElse("");
    }

    private static Optional<Last> last(BenchDay day, Subject subject, BenchWork work) {
        List<BenchAct> acts = day.acts(subject);
        List<String> gone = acts.stream()
                .filter(act -> act.what() == BenchAct.What.TAKEN_BACK)
                .map(BenchAct::about)
                .toList();
        for (int i = acts.size() - 1; i >= 0; i--) {
            BenchAct act = acts.get(i);
            if (act.what() == BenchAct.What.WRONG_TRAY) {
                return Optional.empty();
            }
            if (act.what() != BenchAct.What.TAKEN_BACK && !gone.contains(act.id())) {
                return Optional.of(
                        new Last(act.id(), step(work, act) + act.what().phrase() + ", " + noted(act, day.desk())));
            }
        }
        return Optional.empty();
    }

    private static List<ChangeLine> changed(BenchDay day, Subject subject, BenchWork work) {
        List<ChangeLine> lines = new ArrayList<>();
        for (BenchWork.TakenBack one : BenchWork.takenBack(day.acts(subject))) {
            BenchAct first = one.first();
            String measured = first.measured().entrySet().stream()
                    .map(its -> its.getKey().word() + " " + Words.plain(its.getValue()))
                    .collect(Collectors.joining(", "));
            lines.add(
                    0,
                    new ChangeLine(
                            step(work, first) + first.what().phrase(),
                            noted(first, day.desk()) + (measured.isEmpty() ? "" : ", " + measured),
                            "does not count",
                            one.by().what() == BenchAct.What.WRONG_TRAY
                                    ? one.by().what().phrase()
                                    : one.by().told().isEmpty()
                                            ? "none was said"
                                            : one.by().told(),
                            Words.time(one.by().deviceAt(), day.desk().zone()) + ", "
                                    + one.by().person()));
        }
        return lines;
    }

    private static String says(RedoOrder order, Tray.Place place) {
        boolean named = place.labNumber().filter(order.labNumbers()::contains).isPresent();
        return order.work() == Work.DILUTION && named ? "dilute " + Words.plain(order.dilution()) + " times" : "";
    }

    /** What the order asks for. Sentences about a cause never name a hidden control, nor the wells it is about. */
    private static String why(Desk desk, RedoOrder order) {
        String what = switch (order.work()) {
            case LOOK ->
                "Look first whether the empty key well is where it belongs and every soil in its well; then repeat the whole tray";
            case REDO -> "Redo: repeat the whole tray";
            case CHECK_READING ->
                "Check reading: read the kept extracts of the whole tray again and take nothing from the wells; where they are gone, repeat the whole tray";
            case DILUTION ->
                "Dilution: dilute the kept extracts of the wells named here " + Words.plain(order.dilution())
                        + " times with extractant; where they are gone, take new portions of these wells";
        };
        return what + " (ordered " + Words.moment(order.acted().at(), desk.zone()) + ")."
                + desk.cause(order.acted().cause())
                        .map(cause -> " " + cause.action())
                        .orElse("");
    }
}
