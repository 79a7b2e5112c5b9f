package org.tenmesh.web.today;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
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
 * The day from dock to shelf, in the order a person in charge asks: do promises hold, where is everything, what went wrong,
 * may the instruments run.
 *
 * @param causes the costliest, at most five
 * @param moreCauses how many there are beyond those
 * @param account where every reading ended
 */
public record Today(
        String heading,
        String lead,
        List<PromiseCard> promises,
        List<StationColumn> stations,
        List<CauseCard> causes,
        int moreCauses,
        List<GateRow> gates,
        List<ReadRow> read,
        Account account,
        List<OpenDay> earlier) {

    private static final int MOST_CAUSES = 5;

    /** From here on plates are drawn smaller. */
    private static final int MANY = 72;

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

    /** One of the four answers about promises. */
    public record PromiseCard(
            String title, Verdict verdict, String number, String of, String says, String track, String href) {}

    /** One station of the river. */
    public record StationColumn(
            String word, boolean told, String says, String width, List<PlateLink> plates, List<String> boxes) {}

    /** How far one method has come. */
    public record ReadRow(String method, String href, String says, String track) {}

    /** One tray. */
    public record PlateLink(String href, String label, String picture) {}

    /** @param open earlier days on which something is still to be done */
    static Today of(Desk desk, List<OpenDay> open) {
        List<Promise> all = desk.promises();
        int soils = all.stream().mapToInt(Promise::soils).sum();
        int released =
                all.stream().filter(Promise::released).mapToInt(Promise::soils).sum();
        List<CauseCard> cards = desk.judged().causes().stream()
                .map(c -> CauseCard.of(desk, c))
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
                                Verdict.FIT))));
        return rows;
    }

    static List<PromiseCard> promises(Desk desk, List<OpenDay> open) {
        LocalDate day = desk.dueDate();
        String when = day.equals(desk.today()) ? "today" : Words.day(day);
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
        int all = desk.promises().size()
                + open.stream().mapToInt(other -> other.promises().size()).sum();
        long released = due.stream().filter(Promise::released).count();
        long later = desk.promises().stream()
                .filter(p ->
                        p.submission().promisedOn().filter(d -> d.isAfter(day)).isPresent())
                .count();
        long redo = risk.stream().filter(p -> p.redo() > 0).count();
        long held = risk.stream().filter(p -> p.redo() == 0 && p.hold() > 0).count();
        long unread = risk.size() - redo - held;
        List<String> why = new ArrayList<>();
        if (redo > 0) {
            why.add(Words.count(redo) + " with results to redo");
        }
        if (held > 0) {
            why.add(Words.count(held) + " held");
        }
        if (unread > 0) {
            why.add(Words.count(unread) + " not read yet");
        }
        return List.of(
                new PromiseCard(
                        "Due " + when,
                        Verdict.FIT,
                        Words.count(due.size()),
                        Words.of(due.size(), "submission")
                                        .substring(Words.count(due.size()).length() + 1) + ", " + soils(due),
                        Words.count(released) + " released; " + Words.of(later, "submission") + " due later",
                        Pictures.track("Released of those due " + when, share(released, due.size()), Verdict.FIT),
                        "/submissions?show=due"),
                new PromiseCard(
                        "On track",
                        Verdict.FIT,
                        Words.count(holds.size()),
                        "of " + Words.count(due.size()),
                        "complete, or released already" + accepted(holds),
                        Pictures.track(
                                "Complete or released of those due " + when,
                                share(holds.size(), due.size()),
                                Verdict.FIT),
                        "/submissions?show=holds"),
                new PromiseCard(
                        "At risk",
                        risk.isEmpty() ? Verdict.FIT : Verdict.HOLD,
                        Words.count(risk.size()),
                        risk.isEmpty() ? "due " + when : plural(risk.size()) + ", " + soils(risk),
                        why.isEmpty() ? "nothing due " + when + " is held" : String.join(", ", why),
                        Pictures.track(
                                "At risk of those due " + when,
                                share(risk.size(), due.size()),
                                risk.isEmpty() ? Verdict.FIT : Verdict.HOLD),
                        "/submissions?show=risk"),
                new PromiseCard(
                        "Late",
                        allLate.isEmpty() ? Verdict.FIT : Verdict.REDO,
                        Words.count(allLate.size()),
                        allLate.isEmpty() ? "promised before today" : plural(allLate.size()) + ", " + soils(allLate),
                        allLate.isEmpty()
                                ? "nothing is past its day"
                                : "promised before today, not all released"
                                        + onEarlierDays(allLate.size() - late.size()),
                        Pictures.track(
                                "Late of all submissions",
                                share(allLate.size(), all),
                                allLate.isEmpty() ? Verdict.FIT : Verdict.REDO),
                        late.isEmpty() && !allLate.isEmpty() ? "/days" : "/submissions?show=late"));
    }

    private static String accepted(List<Promise> promises) {
        long some =
                promises.stream().filter(p -> !p.released() && p.accepted() > 0).count();
        return some == 0 ? "" : "; " + Words.count(some) + " with results accepted with reason";
    }

    private static String onEarlierDays(int n) {
        return n == 0 ? "" : "; " + Words.count(n) + " of earlier days";
    }

    private static String plural(int n) {
        return n == 1 ? "submission" : "submissions";
    }

    private static String soils(List<Promise> promises) {
        return Words.of(promises.stream().mapToInt(Promise::soils).sum(), "soil");
    }

    private static double share(long part, int all) {
        return all == 0 ? 0 : (double) part / all;
    }

    private static List<StationColumn> stations(Desk desk) {
        Map<Station, List<TrayState>> trays = desk.traysByStation();
        List<StationColumn> columns = new ArrayList<>();
        for (Station station : Station.values()) {
            List<TrayState> here = trays.getOrDefault(station, List.of());
            List<Promise> dock = station == Station.DOCK
                    ? desk.promises().stream()
                            .filter(p -> desk.soilsOf(p.submission().submission()).stream()
                                    .noneMatch(s -> desk.place(s.labNumber()).isPresent()))
                            .toList()
                    : List.of();
            columns.add(new StationColumn(
                    station.word(),
                    station.told(),
                    says(desk, station, here, dock),
                    width(here.size()),
                    here.stream()
                            .map(t -> plate(t, here.size() > MANY ? 20 : 28))
                            .toList(),
                    dock.stream().map(Pictures::box).toList()));
        }
        return columns;
    }

    private static PlateLink plate(TrayState tray, int size) {
        return new PlateLink("/trays/" + Words.part(tray.name()), tray.name(), Pictures.plate(tray, size, true));
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

    /** A station takes room by what stands there, so that a day of thousands of soils stays one river. */
    private static String width(int trays) {
        return trays == 0 ? "bare" : trays <= 24 ? "" : trays <= MANY ? "wide" : "widest";
    }

    private static String says(Desk desk, Station station, List<TrayState> here, List<Promise> dock) {
        String trays = Words.of(here.size(), "tray");
        return switch (station) {
            case DOCK ->
                dock.isEmpty()
                        ? Words.of(desk.promises().size(), "box", "boxes") + " came, all numbered"
                        : Words.of(dock.size(), "box", "boxes") + " not laid out";
            case RACKS, GRINDING, SCOOPING, EXTRACTION -> "not recorded yet: no scans here";
            case LAYOUT -> here.isEmpty() ? "no tray waits" : trays + ", nothing read yet";
            case READING -> here.isEmpty() ? "no tray half read" : trays + ", a method still to read";
            case JUDGING -> here.isEmpty() ? "nothing held" : trays + " with something held or to redo";
            case RELEASE -> here.isEmpty() ? "no tray waits" : trays + accepted(desk, here);
            case SHELF -> here.isEmpty() ? "nothing released yet" : trays + " released";
        };
    }
}
