package org.tenmesh.web;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.Function;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.Rack;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.Prepared;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.store.people.Badge;
import org.tenmesh.store.people.Person;
import org.tenmesh.web.days.BadgeBook;
import org.tenmesh.web.days.BenchBook;

/** The bench's book kept in memory, for page tests. May be used by several threads. */
final class MemoryBench implements BenchBook, BadgeBook {
    private final List<BenchAct> acts = new ArrayList<>();
    private final List<Shortage> shortages = new ArrayList<>();
    private final Map<String, Badge> badges = new HashMap<>();
    private final Function<String, Optional<Person>> people;
    private final Function<String, String> sessions;

    MemoryBench(
            Function<String, Optional<Person>> people,
            Function<String, String> sessions,
            MemoryShelf shelf,
            MemoryCustody custody) {
        this.custody = custody;
        this.shelf = shelf;
        this.people = people;
        this.sessions = sessions;
    }

    @Override
    public synchronized BenchAct keep(BenchAct act, String sentBy) {
        Optional<BenchAct> before =
                acts.stream().filter(one -> one.id().equals(act.id())).findFirst();
        BenchAct kept = new BenchAct(
                act.id(),
                act.subject(),
                act.step(),
                act.what(),
                act.about(),
                act.told(),
                act.person(),
                act.device(),
                act.deviceAt(),
                Ashgrove.CLOCK.instant().plusMillis(acts.size() + 1),
                act.measured());
        if (before.isEmpty()) {
            acts.add(kept);
            List<Move> lines = Prepared.lines(racks(), custody.parcels(), custody.moves(), kept.storedAt());
            if (!lines.isEmpty()) {
                custody.keep(lines);
            }
        }
        return before.orElse(kept);
    }

    @Override
    public synchronized long newest() {
        return acts.size();
    }

    @Override
    public synchronized List<BenchAct> acts(String day) {
        return acts.stream().filter(act -> act.subject().day().equals(day)).toList();
    }

    private final MemoryShelf shelf;
    private final MemoryCustody custody;

    @Override
    public Map<LabNumber, String> onShelf(Collection<LabNumber> labNumbers) {
        Map<LabNumber, String> where = new HashMap<>();
        shelf.find(labNumbers, java.time.ZoneOffset.UTC)
                .forEach((number, soil) -> where.put(
                        number,
                        soil.box() + soil.place().map(place -> " at " + place).orElse("")));
        return where;
    }

    @Override
    public synchronized List<BenchAct> racks() {
        return acts("");
    }

    @Override
    public synchronized List<BenchAct> sinceCleaned(String code) {
        return acts("").stream()
                .filter(act -> act.subject().code().equals(code)
                        || act.what() == BenchAct.What.TAKEN_BACK
                        || act.step().equals(Rack.GRIND)
                                && (act.about().equals(code) || act.about().isEmpty()))
                .toList();
    }

    @Override
    public synchronized List<String> mills() {
        return acts("").stream()
                .filter(act -> act.step().equals(Rack.GRIND) && !act.about().isEmpty())
                .map(BenchAct::about)
                .distinct()
                .toList();
    }

    @Override
    public synchronized void tooLittle(
            Laboratory laboratory, LocalDate date, List<Shortage> fresh, String act, String actor) {
        shortages.addAll(fresh);
    }

    synchronized List<Shortage> shortages() {
        return List.copyOf(shortages);
    }

    @Override
    public synchronized String issue(String name, String actor) {
        badges.values().removeIf(badge -> badge.person().name().equals(name));
        String code = "BDG-" + String.format("%012d", badges.size() + 1);
        badges.put(code, new Badge(people.apply(name).orElseThrow(), "", Ashgrove.CLOCK.instant()));
        return code;
    }

    @Override
    public synchronized Optional<Badge> find(String code) {
        return Optional.ofNullable(badges.get(code));
    }

    @Override
    public synchronized void choosePin(String code, String pinHash) {
        badges.computeIfPresent(code, (same, badge) -> new Badge(badge.person(), pinHash, badge.issuedAt()));
    }

    @Override
    public synchronized boolean withdraw(String name, String actor) {
        return badges.values().removeIf(badge -> badge.person().name().equals(name));
    }

    @Override
    public synchronized Map<String, Instant> inUse() {
        Map<String, Instant> issued = new TreeMap<>();
        badges.values().forEach(badge -> issued.put(badge.person().name(), badge.issuedAt()));
        return issued;
    }

    @Override
    public String startSession(String name, Duration lasts, Duration locksAfter) {
        return sessions.apply(name);
    }
}
