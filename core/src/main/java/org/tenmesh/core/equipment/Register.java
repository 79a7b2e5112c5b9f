package org.tenmesh.core.equipment;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.judgement.Policy;

/**
 * Every lot and piece of equipment with what was noted about it, and what is wrong with each at any instant. Immutable; may be read by
 * any number of threads.
 */
public final class Register {
    /** Nothing was ever registered. */
    public static final Register NONE = new Register(List.of(), List.of(), List.of(), List.of());

    private final Map<String, Lot> lots = new LinkedHashMap<>();
    private final Map<String, Equipment> equipment = new LinkedHashMap<>();
    private final Map<Thing, List<Act>> noted = new HashMap<>();
    private final Map<Thing, List<Act>> standing = new HashMap<>();
    private final List<Use> uses;
    private final Map<String, List<Use>> usesAt = new HashMap<>();
    private final List<Act> intoUse = new ArrayList<>();

    private Register(Collection<Lot> lots, Collection<Equipment> equipment, List<Act> acts, List<Use> uses) {
        lots.forEach(lot -> this.lots.put(lot.name(), lot));
        equipment.forEach(one -> this.equipment.put(one.name(), one));
        Set<Long> takenBack = new HashSet<>();
        for (Act act : acts) {
            noted.computeIfAbsent(act.thing(), thing -> new ArrayList<>()).add(act);
            if (act.what() == Act.What.TAKEN_BACK) {
                takenBack.add(Long.parseLong(act.about()));
            }
        }
        for (Act act : acts) {
            if (act.what() != Act.What.TAKEN_BACK && !takenBack.contains(act.number())) {
                standing.computeIfAbsent(act.thing(), thing -> new ArrayList<>())
                        .add(act);
            }
        }
        Comparator<Act> byTime = Comparator.comparing(Act::at).thenComparingLong(Act::number);
        standing.values().forEach(list -> {
            list.sort(byTime);
            list.stream().filter(act -> act.what() == Act.What.TAKEN_INTO_USE).forEach(intoUse::add);
        });
        intoUse.sort(byTime);
        this.uses = List.copyOf(uses);
        uses.forEach(
                use -> usesAt.computeIfAbsent(use.place() + " " + use.day() + "/" + use.code(), k -> new ArrayList<>())
                        .add(use));
    }

    /**
     * Puts together what was stored.
     *
     * @param acts in the order of their numbers
     * @param uses in the order of their numbers
     */
    public static Register of(Collection<Lot> lots, Collection<Equipment> equipment, List<Act> acts, List<Use> uses) {
        return new Register(lots, equipment, acts, uses);
    }

    /** How much was registered and noted: as long as it is the same, nothing was. */
    public int size() {
        return lots.size()
                + equipment.size()
                + uses.size()
                + noted.values().stream().mapToInt(List::size).sum();
    }

    /** In the order in which they were registered. */
    public List<Lot> lots() {
        return List.copyOf(lots.values());
    }

    /** In the order in which they were registered. */
    public List<Equipment> equipment() {
        return List.copyOf(equipment.values());
    }

    public Optional<Lot> lot(String name) {
        return Optional.ofNullable(lots.get(name));
    }

    public Optional<Equipment> equipment(String name) {
        return Optional.ofNullable(equipment.get(name));
    }

    /** Everything noted about a thing, what was taken back too, in the order in which it was stored. */
    public List<Act> noted(Thing thing) {
        return List.copyOf(noted.getOrDefault(thing, List.of()));
    }

    /** Whether what was noted was not taken back. */
    public boolean stands(Act act) {
        return standing.getOrDefault(act.thing(), List.of()).contains(act);
    }

    /** Every use that was noted of a thing. */
    public List<Use> usesOf(Thing thing) {
        return uses.stream().filter(use -> use.thing().equals(thing)).toList();
    }

    /** What was noted as used for a run or tray, the oldest first. */
    List<Use> usesAt(Use.Place place, String day, String code) {
        return usesAt.getOrDefault(place + " " + day + "/" + code, List.of());
    }

    private Optional<Act> last(Thing thing, Act.What what, Instant at) {
        return standing.getOrDefault(thing, List.of()).stream()
                .filter(act -> act.what() == what && !act.at().isAfter(at))
                .reduce((first, later) -> later);
    }

    /** When a lot was opened first, up to an instant. */
    public Optional<Instant> opened(Lot lot, Instant at) {
        return standing.getOrDefault(lot.thing(), List.of()).stream()
                .filter(act -> act.what() == Act.What.OPENED && !act.at().isAfter(at))
                .map(Act::at)
                .findFirst();
    }

    /** Whether a lot was used up by an instant. */
    public boolean usedUp(Lot lot, Instant at) {
        return last(lot.thing(), Act.What.USED_UP, at).isPresent();
    }

    /**
     * The lot that was in use under a name at an instant: the one taken into use last. Empty where none was, or that one was used up:
     * then nobody said which it is, and none is guessed.
     *
     * @param standsFor as readings name it
     * @param method that reads it; a lot for this method alone goes before one for every method
     */
    public Optional<Lot> inUse(String standsFor, String method, Instant at) {
        return inUse(standsFor, method, method, at).or(() -> inUse(standsFor, method, "", at));
    }

    private Optional<Lot> inUse(String standsFor, String method, String of, Instant at) {
        return intoUse.stream()
                .filter(act -> !act.at().isAfter(at))
                .flatMap(act -> lot(act.thing().name()).stream())
                .filter(lot -> lot.standsFor().equals(standsFor) && lot.method().equals(of))
                .reduce((first, later) -> later)
                .filter(lot -> !usedUp(lot, at));
    }

    /** Whether this is the lot in use of what it stands for. */
    public boolean isInUse(Lot lot, Instant at) {
        return inUse(lot.standsFor(), lot.method(), lot.method(), at)
                .filter(lot::equals)
                .isPresent();
    }

    /** Why a lot may be used until a day. */
    public record LastDay(LocalDate day, String because) {}

    /**
     * The last day on which a lot may be used: the earliest of its own, of so many days after it was opened, and of the lots that it was
     * made from (common practice: a preparation lasts no longer than what is in it). Empty where none of these is stated.
     */
    public Optional<LastDay> lastDay(Lot lot, Instant at, ZoneId zone) {
        List<LastDay> days = new ArrayList<>();
        lot.expires().ifPresent(day -> days.add(new LastDay(day, "expired")));
        if (lot.daysOpen().isPresent()) {
            int most = lot.daysOpen().getAsInt();
            opened(lot, at)
                    .map(opened -> LocalDate.ofInstant(opened, zone))
                    .ifPresent(opened -> days.add(
                            new LastDay(opened.plusDays(most), "opened on " + opened + " for " + most + " days")));
        }
        parts(lot, new HashSet<>())
                .forEach(part -> part.expires()
                        .ifPresent(
                                day -> days.add(new LastDay(day, "made from lot " + part.name() + ", which expired"))));
        return days.stream().min(Comparator.comparing(LastDay::day));
    }

    /** Every lot that a prepared one was made from, those of its parts too. */
    private Set<Lot> parts(Lot lot, Set<Lot> found) {
        for (String name : lot.madeFrom()) {
            lot(name).filter(found::add).ifPresent(part -> parts(part, found));
        }
        return found;
    }

    /** Every lot that was made from this one, and what was made from those. */
    public List<Lot> madeFrom(Lot part) {
        return lots.values().stream()
                .filter(lot -> !lot.equals(part) && parts(lot, new HashSet<>()).contains(part))
                .toList();
    }

    /** A service or check with what is known of it. */
    public record Standing(Equipment.Due due, Optional<Act> last, Optional<LocalDate> next) {}

    /** The services and checks of a piece of equipment at an instant: when each was done last, and by when it is due. */
    public List<Standing> standing(Equipment one, Instant at, ZoneId zone) {
        return one.dues().stream().map(due -> standing(one, due, at, zone)).toList();
    }

    private Standing standing(Equipment one, Equipment.Due due, Instant at, ZoneId zone) {
        Optional<Act> last =
                checks(one, due).stream().filter(act -> !act.at().isAfter(at)).reduce((first, later) -> later);
        Optional<LocalDate> next;
        if (last.isEmpty()) {
            next = due.by().or(() -> Optional.of(LocalDate.ofInstant(one.registeredAt(), zone)));
        } else if (due.everyDays().isPresent()) {
            next = Optional.of(LocalDate.ofInstant(last.get().at(), zone)
                    .plusDays(due.everyDays().getAsInt()));
        } else {
            next = Optional.empty();
        }
        return new Standing(due, last, next);
    }

    private List<Act> checks(Equipment one, Equipment.Due due) {
        return standing.getOrDefault(one.thing(), List.of()).stream()
                .filter(act -> act.what() == Act.What.CHECKED && act.about().equals(due.what()))
                .toList();
    }

    /**
     * What is wrong with a thing at an instant, by everything that is noted now. A check that failed is wrong from the last one before it
     * that passed until the next one that does; what was overdue is not wrong where the next check passed.
     *
     * @param zone in which days begin
     */
    public List<Finding> findings(Thing thing, Instant at, ZoneId zone) {
        List<Finding> found = new ArrayList<>();
        if (thing.kind() == Thing.Kind.LOT) {
            lot(thing.name()).flatMap(lot -> lastDay(lot, at, zone)).ifPresent(last -> {
                if (LocalDate.ofInstant(at, zone).isAfter(last.day())) {
                    found.add(new Finding(
                            thing,
                            Finding.Wrong.EXPIRED,
                            last.because().startsWith("opened")
                                    ? last.because() + ", that is until " + last.day()
                                    : last.because() + " on " + last.day()));
                }
            });
            return found;
        }
        Optional<Act> out = last(thing, Act.What.OUT_OF_SERVICE, at);
        Optional<Act> back = last(thing, Act.What.BACK_IN_SERVICE, at);
        if (out.isPresent() && back.filter(one -> after(one, out.get())).isEmpty()) {
            found.add(new Finding(
                    thing,
                    Finding.Wrong.OUT_OF_SERVICE,
                    "out of service since " + LocalDate.ofInstant(out.get().at(), zone) + ": "
                            + out.get().says()));
        }
        equipment(thing.name())
                .ifPresent(one ->
                        one.dues().forEach(due -> finding(one, due, at, zone).ifPresent(found::add)));
        return found;
    }

    private static boolean after(Act one, Act other) {
        return one.at().isAfter(other.at()) || one.at().equals(other.at()) && one.number() > other.number();
    }

    private Optional<Finding> finding(Equipment one, Equipment.Due due, Instant at, ZoneId zone) {
        Standing now = standing(one, due, at, zone);
        Optional<Act> next =
                checks(one, due).stream().filter(act -> act.at().isAfter(at)).findFirst();
        Optional<Act> failed = now.last().filter(act -> !act.passed()).or(() -> next.filter(act -> !act.passed()));
        if (failed.isPresent()) {
            return Optional.of(new Finding(
                    one.thing(),
                    Finding.Wrong.CHECK_FAILED,
                    due.what() + " failed on "
                            + LocalDate.ofInstant(failed.get().at(), zone) + found(failed.get(), due)));
        }
        if (next.isPresent()) {
            return Optional.empty();
        }
        return now.next()
                .filter(day -> LocalDate.ofInstant(at, zone).isAfter(day))
                .map(day -> new Finding(one.thing(), Finding.Wrong.OVERDUE, due.what() + " was due by " + day));
    }

    private static String found(Act check, Equipment.Due due) {
        return check.value().isPresent() ? ": " + check.value().getAsDouble() + ", allowed " + due.limits() : "";
    }

    /** What is wrong at an instant with anything of which results are held or work is refused then, by kind and name. */
    public List<Finding> wrong(Instant at, ZoneId zone) {
        List<Finding> all = new ArrayList<>();
        lots.values().stream()
                .filter(lot -> isInUse(lot, at))
                .forEach(lot -> all.addAll(findings(lot.thing(), at, zone)));
        equipment.values().forEach(one -> all.addAll(findings(one.thing(), at, zone)));
        all.sort(Comparator.comparing(Finding::thing));
        return all;
    }

    /** What keeps work on an instrument from beginning at an instant, in words; empty where nothing does. */
    public List<Finding> refuses(String instrument, Instant at, ZoneId zone, Policy policy) {
        return equipment.values().stream()
                .filter(one -> one.name().equals(instrument) || one.instrument().equals(instrument))
                .flatMap(one -> findings(one.thing(), at, zone).stream())
                .filter(finding -> finding.consequence(policy) == Consequence.REFUSE)
                .toList();
    }
}
