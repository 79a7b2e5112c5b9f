package org.tenmesh.web;

import static java.util.Objects.requireNonNull;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.ZoneOffset;
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
import java.util.TreeMap;
import java.util.TreeSet;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.shelf.DiscardList;
import org.tenmesh.core.shelf.Keeping;
import org.tenmesh.core.shelf.Shelf;
import org.tenmesh.core.shelf.ShelfAct;
import org.tenmesh.core.shelf.ShelfAct.What;
import org.tenmesh.core.shelf.Stored;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.shelf.BoxCount;
import org.tenmesh.store.shelf.ListCount;
import org.tenmesh.store.shelf.PlaceCount;
import org.tenmesh.web.days.ShelfStore;

/** A shelf kept in memory, for page tests: everything on it was released on one date. May be used by several threads. */
final class MemoryShelf implements ShelfStore {
    static final LocalDate RELEASED = LocalDate.of(2026, 10, 20);

    private final Map<LabNumber, Keeping> known = new HashMap<>();
    private final Map<LabNumber, String> clients = new HashMap<>();
    private final List<ShelfAct> acts = new ArrayList<>();
    private final Map<String, DiscardList> lists = new LinkedHashMap<>();
    private Shelf shelf = Shelf.empty(Map.of(), ZoneOffset.UTC);

    synchronized void know(Collection<Soil> soils, Map<String, String> clientOf) {
        soils.forEach(soil -> {
            known.put(soil.labNumber(), Keeping.of(soil.regulated()));
            soil.submission()
                    .ifPresent(name -> clients.put(soil.labNumber(), clientOf.getOrDefault(name, "") + ", " + name));
        });
        shelf = new Shelf(shelf.places(), shelf.boxes(), shelf.soils(), known, ZoneOffset.UTC);
    }

    @Override
    public synchronized void keep(List<ShelfAct> together, ZoneId zone) {
        Shelf next = shelf;
        for (ShelfAct act : together) {
            Optional<String> refusal = next.refusal(act);
            if (refusal.isPresent()) {
                throw new Refused(refusal.get() + ". Nothing was done.");
            }
            next = next.after(act);
        }
        shelf = next;
        acts.addAll(together);
    }

    @Override
    public synchronized int nextBox() {
        return 1 + shelf.boxes().size();
    }

    private List<Stored> all() {
        return shelf.soils().values().stream()
                .map(soil -> new Stored(
                        soil.labNumber(),
                        soil.keeping(),
                        soil.state(),
                        soil.box(),
                        soil.place(),
                        soil.loan(),
                        Optional.of(RELEASED),
                        soil.pauses()))
                .sorted(Comparator.comparing(Stored::labNumber))
                .toList();
    }

    @Override
    public synchronized Map<LabNumber, Stored> find(Collection<LabNumber> labNumbers, ZoneId zone) {
        Map<LabNumber, Stored> found = new HashMap<>();
        all().stream()
                .filter(soil -> labNumbers.contains(soil.labNumber()))
                .forEach(soil -> found.put(soil.labNumber(), soil));
        return found;
    }

    @Override
    public synchronized Optional<Shelf.Box> box(String code) {
        return Optional.ofNullable(shelf.boxes().get(code));
    }

    @Override
    public synchronized List<Stored> inBox(String code, ZoneId zone) {
        return all().stream()
                .filter(soil -> soil.box().equals(code) && !soil.state().gone())
                .toList();
    }

    private BoxCount count(Shelf.Box box, String about) {
        return new BoxCount(
                box.code(),
                box.regulated(),
                box.place(),
                inBox(box.code(), ZoneOffset.UTC).size(),
                about);
    }

    @Override
    public synchronized List<BoxCount> at(String place) {
        return shelf.boxes().values().stream()
                .filter(box -> box.place().orElse("").equals(place))
                .map(box -> count(box, ""))
                .sorted(Comparator.comparing(BoxCount::box))
                .toList();
    }

    @Override
    public synchronized List<PlaceCount> places() {
        return shelf.places().entrySet().stream()
                .map(one -> new PlaceCount(
                        one.getKey(),
                        one.getValue(),
                        at(one.getKey()).size(),
                        at(one.getKey()).stream().mapToInt(BoxCount::soils).sum()))
                .sorted(Comparator.comparing(PlaceCount::place))
                .toList();
    }

    @Override
    public synchronized List<BoxCount> ofClient(String text) {
        Map<String, BoxCount> found = new LinkedHashMap<>();
        for (Stored soil : all()) {
            String whose = clients.getOrDefault(soil.labNumber(), "");
            if (whose.toLowerCase(java.util.Locale.ROOT).contains(text.toLowerCase(java.util.Locale.ROOT))) {
                found.merge(
                        soil.box() + whose,
                        new BoxCount(soil.box(), soil.keeping().apart(), soil.place(), 1, whose),
                        (a, b) -> new BoxCount(a.box(), a.regulated(), a.place(), a.soils() + 1, a.about()));
            }
        }
        return List.copyOf(found.values());
    }

    @Override
    public synchronized List<BoxCount> releasedOn(LocalDate date) {
        return date.equals(RELEASED)
                ? shelf.boxes().values().stream()
                        .map(box -> count(box, "released " + date))
                        .sorted(Comparator.comparing(BoxCount::box))
                        .toList()
                : List.of();
    }

    @Override
    public synchronized List<Stored> lent(ZoneId zone) {
        return all().stream().filter(soil -> soil.loan().isPresent()).toList();
    }

    @Override
    public synchronized List<ShelfAct> acts(LabNumber labNumber) {
        return acts.stream()
                .filter(act -> act.what().ofASoil() && act.about().equals(labNumber.text()))
                .toList();
    }

    @Override
    public synchronized List<ShelfAct> actsOfBox(String box) {
        return acts.stream()
                .filter(act -> !act.what().ofASoil() && act.about().equals(box))
                .toList();
    }

    @Override
    public List<String> daysWithOrders(LocalDate released) {
        return List.of(InventedDay.DATE.toString());
    }

    @Override
    public synchronized List<Stored> due(LocalDate day, int days, Set<LabNumber> waiting, ZoneId zone) {
        return DiscardList.due(all(), days, day, waiting);
    }

    @Override
    public synchronized List<String> mixed() {
        Map<String, Set<Keeping>> at = new TreeMap<>();
        all().stream()
                .filter(soil -> soil.state() == Stored.State.ON_SHELF)
                .forEach(soil -> at.computeIfAbsent(soil.place().orElse(soil.box()), place -> new HashSet<>())
                        .add(known.getOrDefault(soil.labNumber(), soil.keeping())));
        return at.entrySet().stream()
                .filter(one -> one.getValue().containsAll(Set.of(Keeping.REGULATED, Keeping.ORDINARY)))
                .map(Map.Entry::getKey)
                .toList();
    }

    @Override
    public synchronized String makeList(
            LocalDate day, int days, Set<LabNumber> waiting, String actor, Instant at, ZoneId zone) {
        List<Stored> due = DiscardList.due(all(), days, day, waiting);
        if (due.isEmpty()) {
            throw new Refused("Nothing on the shelf may be discarded on " + day + ". Nothing was done.");
        }
        String name = "D-261125-" + (1 + lists.size());
        lists.put(
                name,
                new DiscardList(name, day, due.stream().map(Stored::labNumber).toList(), Set.of(), ""));
        return name;
    }

    @Override
    public synchronized List<ListCount> lists() {
        return lists.values().stream()
                .map(list -> new ListCount(
                        list.name(),
                        list.day(),
                        "test",
                        list.signedBy(),
                        list.lines().size(),
                        (int) all().stream()
                                .filter(soil -> soil.state() == Stored.State.DISCARDED)
                                .count()))
                .toList();
    }

    @Override
    public synchronized Optional<DiscardList> list(String name) {
        return Optional.ofNullable(lists.get(name));
    }

    @Override
    public synchronized List<Stored> dueBeside(String list, LocalDate day, int days, ZoneId zone) {
        List<LabNumber> lines = requireNonNull(lists.get(list)).lines();
        return all().stream()
                .filter(soil -> !soil.state().gone() && !lines.contains(soil.labNumber()))
                .filter(soil -> soil.releasedOn()
                        .filter(on -> !on.isAfter(day.minusDays(days)))
                        .isPresent())
                .toList();
    }

    @Override
    public synchronized List<Stored> inBoxesOf(DiscardList list, ZoneId zone) {
        Set<String> boxes = new TreeSet<>();
        all().stream().filter(soil -> list.lines().contains(soil.labNumber())).forEach(soil -> boxes.add(soil.box()));
        return all().stream().filter(soil -> boxes.contains(soil.box())).toList();
    }

    @Override
    public synchronized boolean scan(
            String list, String code, int days, Set<LabNumber> waiting, String actor, Instant at, ZoneId zone) {
        DiscardList its = requireNonNull(lists.get(list));
        Optional<String> refusal =
                its.refusal(code, inBoxesOf(its, zone), days, at.atZone(zone).toLocalDate(), waiting);
        if (refusal.isPresent()) {
            throw new Refused(refusal.get() + ". Nothing was done.");
        }
        Set<String> scanned = new HashSet<>(its.scanned());
        boolean fresh = scanned.add(code);
        lists.put(list, new DiscardList(list, its.day(), its.lines(), scanned, ""));
        return fresh;
    }

    @Override
    public synchronized List<DiscardList.Line> sign(
            String list, int days, Set<LabNumber> waiting, String actor, Instant at, ZoneId zone) {
        DiscardList its = requireNonNull(lists.get(list));
        if (!its.signedBy().isEmpty()) {
            throw new Refused("List " + list + " was signed by " + its.signedBy() + ". Nothing was done.");
        }
        List<DiscardList.Line> settled =
                its.settled(inBoxesOf(its, zone), days, at.atZone(zone).toLocalDate(), waiting);
        settled.stream().filter(DiscardList.Line::leaves).forEach(line -> {
            ShelfAct act = new ShelfAct(
                    What.DISCARDED, line.soil().labNumber().text(), list, Optional.empty(), false, "", actor, at);
            shelf = shelf.after(act);
            acts.add(act);
        });
        lists.put(list, new DiscardList(list, its.day(), its.lines(), its.scanned(), actor));
        return settled;
    }
}
