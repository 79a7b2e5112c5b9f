package org.tenmesh.web.today;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.Promise;
import org.tenmesh.core.desk.Station;
import org.tenmesh.core.desk.TrayState;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.redo.Balance;
import org.tenmesh.web.cards.CauseCard;
import org.tenmesh.web.cards.GateRow;
import org.tenmesh.web.cards.OpenDay;
import org.tenmesh.web.words.Pictures;
import org.tenmesh.web.words.Words;

/**
 * The day in the order a person in charge asks: what is wrong and what does it cost, may the instruments run, do promises hold, where is
 * everything.
 *
 * @param causes the costliest, at most five
 * @param moreCauses how many there are beyond those
 * @param untold the stations at which nothing is scanned, in one sentence; empty text when there are none
 * @param account where every reading ended
 */
public record Today(
        String heading,
        String lead,
        List<Figure> promises,
        List<StationCell> stations,
        String untold,
        List<CauseCard> causes,
        int moreCauses,
        List<GateRow> gates,
        List<ReadRow> read,
        Account account,
        List<OpenDay> earlier) {

    private static final int MOST_CAUSES = 5;

    /** Trays with trouble that a station draws; the rest is counted. */
    private static final int MOST_PLATES = 18;

    /**
     * Where every reading ended.
     *
     * @param says how many readings came to which place
     * @param aside what was used for nothing, and what does not add up
     */
    public record Account(String says, List<String> aside) {
        static Account of(Balance balance) {
            List<String> places = new ArrayList<>();
            balance.places().forEach((place, count) -> {
                if (count > 0) {
                    places.add(Words.count(count) + " " + place.word());
                }
            });
            List<String> aside = new ArrayList<>(balance.errors());
            balance.aside()
                    .forEach(one -> aside.add("Run " + one.run() + ": " + Words.of(one.readings(), "reading")
                            + " from position " + one.firstPosition() + ", " + one.reason()));
            return new Account(
                    Words.of(balance.read(), "reading") + (places.isEmpty() ? "" : ": " + String.join(", ", places)),
                    aside);
        }
    }

    /** One of the four answers about promises: a number, what it counts, and a word or two more. */
    public record Figure(String number, String of, Verdict verdict, String says, String href) {}

    /**
     * One station from dock to shelf.
     *
     * @param plates trays with something held or to redo; those that only wait or are fit are a number
     * @param more trays with trouble that are not drawn
     */
    public record StationCell(String word, String says, String track, List<PlateLink> plates, int more) {}

    /**
     * How far one method has come.
     *
     * @param whole whether every soil that asks for it was read
     */
    public record ReadRow(String method, String href, String says, String track, boolean whole) {}

    /** The methods that are read of every soil, or those that are not. */
    public List<ReadRow> read(boolean whole) {
        return read.stream().filter(row -> row.whole() == whole).toList();
    }

    /** One tray. */
    public record PlateLink(String href, String label, String picture) {}

    /** @param open earlier days on which something is still to be done */
    static Today of(Desk desk, List<OpenDay> open) {
        List<Promise> all = desk.promises();
        int soils = all.stream().mapToInt(Promise::soils).sum();
        int released =
                all.stream().filter(Promise::released).mapToInt(Promise::soils).sum();
        List<CauseCard> cards = CauseCard.toDecide(desk).stream()
                .sorted((a, b) -> Boolean.compare(a.settled(), b.settled()))
                .toList();
        long undecided = cards.stream().filter(c -> !c.settled()).count();
        String lead = (released == 0 ? "Nothing released so far. " : Words.count(released) + " released so far. ")
                + Words.of(desk.day().runs().size(), "run") + " by "
                + Words.of(desk.instruments().size(), "instrument") + ", "
                + (undecided == 0 ? "no cause open." : Words.of(undecided, "cause") + " open.");
        return new Today(
                Words.of(soils - released, "soil") + " in work",
                lead,
                promises(desk, open),
                stations(desk),
                onTheBench(),
                cards.subList(0, Math.min(MOST_CAUSES, cards.size())),
                Math.max(0, cards.size() - MOST_CAUSES),
                GateRow.of(desk),
                read(desk),
                Account.of(desk.balance()),
                open);
    }

    private static List<ReadRow> read(Desk desk) {
        List<ReadRow> rows = new ArrayList<>();
        desk.progress()
                .forEach((method, progress) -> rows.add(new ReadRow(
                        desk.methodTitle(method),
                        "/methods/" + Words.part(method),
                        Words.count(progress.read()) + " of " + Words.of(progress.asked(), "soil"),
                        Pictures.track(
                                "Read by " + desk.methodTitle(method),
                                share(progress.read(), progress.asked()),
                                Verdict.FIT),
                        progress.read() >= progress.asked())));
        return rows;
    }

    static List<Figure> promises(Desk desk, List<OpenDay> open) {
        LocalDate day = desk.dueDate();
        String when = day.equals(desk.today()) ? "today" : Words.day(day, desk.today());
        List<Promise> due = desk.promises().stream().filter(p -> p.dueOn(day)).toList();
        List<Promise> holds =
                due.stream().filter(p -> p.released() || p.complete()).toList();
        List<Promise> risk =
                due.stream().filter(p -> !p.released() && !p.complete()).toList();
        List<Promise> late =
                desk.promises().stream().filter(p -> p.lateOn(desk.today())).toList();
        // What earlier days left undone is late as well: submissions stand on the lists until they are released.
        List<Promise> allLate = new ArrayList<>(late);
        open.forEach(other -> other.promises().stream()
                .filter(p -> p.lateOn(other.today()))
                .filter(p ->
                        allLate.stream().noneMatch(known -> known.submission().equals(p.submission())))
                .forEach(allLate::add));
        List<Promise> released =
                desk.promises().stream().filter(Promise::released).toList();
        long redo = risk.stream().filter(p -> p.redo() > 0).count();
        long held = risk.stream().filter(p -> p.redo() == 0 && p.hold() > 0).count();
        long unread = risk.size() - redo - held;
        List<String> why = new ArrayList<>();
        if (redo > 0) {
            why.add(Words.count(redo) + " to redo");
        }
        if (held > 0) {
            why.add(Words.count(held) + " held");
        }
        if (unread > 0) {
            why.add(Words.count(unread) + " not read yet");
        }
        return List.of(
                new Figure(
                        Words.count(holds.size()),
                        "on track of " + Words.count(due.size()) + " due " + when,
                        Verdict.FIT,
                        soils(due) + accepted(holds),
                        "/submissions?show=due"),
                new Figure(
                        Words.count(risk.size()),
                        "at risk",
                        redo + held == 0 ? Verdict.FIT : Verdict.HOLD,
                        risk.isEmpty() ? "" : String.join(", ", why),
                        "/submissions?show=risk"),
                new Figure(
                        Words.count(allLate.size()),
                        "late",
                        allLate.isEmpty() ? Verdict.FIT : Verdict.REDO,
                        allLate.isEmpty()
                                ? "nothing past its day"
                                : soils(allLate) + onEarlierDays(allLate.size() - late.size()),
                        late.isEmpty() && !allLate.isEmpty() ? "/days" : "/submissions?show=late"),
                new Figure(
                        Words.count(released.size()),
                        "released",
                        Verdict.FIT,
                        released.isEmpty() ? "nothing yet" : soils(released),
                        "/reports"));
    }

    private static String accepted(List<Promise> promises) {
        long some =
                promises.stream().filter(p -> !p.released() && p.accepted() > 0).count();
        return some == 0 ? "" : "; " + Words.count(some) + " with results accepted with reason";
    }

    private static String onEarlierDays(int n) {
        return n == 0 ? "" : "; " + Words.count(n) + " of earlier days";
    }

    private static String soils(List<Promise> promises) {
        return Words.of(promises.stream().mapToInt(Promise::soils).sum(), "soil");
    }

    private static double share(long part, int all) {
        return all == 0 ? 0 : (double) part / all;
    }

    private static List<StationCell> stations(Desk desk) {
        Map<Station, List<TrayState>> trays = desk.traysByStation();
        int all = Math.max(1, desk.trayStates().size());
        long notLaidOut = desk.promises().stream()
                .filter(p -> desk.soilsOf(p.submission().submission()).stream()
                        .noneMatch(s -> desk.place(s.labNumber()).isPresent()))
                .count();
        List<StationCell> cells = new ArrayList<>();
        for (Station station : Station.values()) {
            if (!station.told()) {
                continue;
            }
            List<TrayState> here = trays.getOrDefault(station, List.of());
            List<TrayState> trouble = here.stream()
                    .filter(tray -> tray.worst() != Verdict.FIT)
                    .sorted(Comparator.comparing(TrayState::worst).reversed())
                    .toList();
            double share = station == Station.DOCK
                    ? share(notLaidOut, Math.max(1, desk.promises().size()))
                    : share(here.size(), all);
            cells.add(new StationCell(
                    station.word(),
                    says(desk, station, here, trouble.size(), notLaidOut),
                    Pictures.track(station.word() + ", share of the day", share, Verdict.FIT),
                    trouble.stream().limit(MOST_PLATES).map(Today::plate).toList(),
                    Math.max(0, trouble.size() - MOST_PLATES)));
        }
        return cells;
    }

    private static String onTheBench() {
        List<String> words = Arrays.stream(Station.values())
                .filter(station -> !station.told())
                .map(station -> station.word().toLowerCase(Locale.ROOT))
                .toList();
        return words.isEmpty() ? "" : Words.sentence(Words.and(words)) + " are shown on the page Bench.";
    }

    private static PlateLink plate(TrayState tray) {
        return new PlateLink("/trays/" + Words.part(tray.name()), tray.name(), Pictures.plate(tray, 28, true));
    }

    private static String accepted(Desk desk, List<TrayState> here) {
        long some = here.stream()
                .filter(tray -> tray.tray().wells().stream()
                        .flatMap(place -> place.labNumber().stream())
                        .flatMap(labNumber -> desk.standing(labNumber).stream())
                        .anyMatch(Result::isAccepted))
                .count();
        return some == 0 ? ", all fit" : ", " + Words.count(some) + " with results accepted with reason";
    }

    private static String says(Desk desk, Station station, List<TrayState> here, int trouble, long notLaidOut) {
        String trays = Words.of(here.size(), "tray");
        return switch (station) {
            case DOCK ->
                notLaidOut == 0
                        ? Words.of(desk.promises().size(), "box", "boxes") + " received and numbered"
                        : Words.of(notLaidOut, "box", "boxes") + " not laid out";
            case RACKS, GRINDING, SCOOPING, EXTRACTION -> "";
            case LAYOUT -> here.isEmpty() ? "no tray waits" : trays + ", nothing read yet";
            case READING ->
                here.isEmpty()
                        ? "no tray partly read"
                        : trays + " partly read" + (trouble == 0 ? "" : ", " + Words.count(trouble) + " with trouble");
            case JUDGING -> here.isEmpty() ? "nothing held" : trays + " to decide";
            case RELEASE -> here.isEmpty() ? "no tray waits" : trays + accepted(desk, here);
            case SHELF -> here.isEmpty() ? "nothing released yet" : trays + " released";
        };
    }
}
