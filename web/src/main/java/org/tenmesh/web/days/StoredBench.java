package org.tenmesh.web.days;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.digest.Content;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.store.Store;
import org.tenmesh.store.people.Badge;

/** The store behind the bench's pages and its badges. */
record StoredBench(Store store) implements BenchBook, BadgeBook {
    @Override
    public BenchAct keep(BenchAct act, String sentBy) {
        return store.benchActs().keep(act, sentBy);
    }

    @Override
    public long newest() {
        return store.benchActs().newest();
    }

    @Override
    public List<BenchAct> acts(String day) {
        return store.benchActs().of(day);
    }

    @Override
    public Map<LabNumber, String> onShelf(Collection<LabNumber> labNumbers) {
        return store.bench().onShelf(labNumbers);
    }

    @Override
    public List<BenchAct> racks() {
        return store.benchActs().racks(RACK_ACTS);
    }

    @Override
    public List<BenchAct> sinceCleaned(String code) {
        return store.benchActs().sinceCleaned(code);
    }

    @Override
    public List<String> mills() {
        return store.benchActs().equipment();
    }

    @Override
    public void tooLittle(Laboratory laboratory, LocalDate date, List<Shortage> shortages, String act, String actor) {
        String source = Content.digest("bench act", act);
        if (store.receipt(source).isEmpty()) {
            Day only = new Day(
                    laboratory,
                    List.of(),
                    List.of(),
                    List.of(),
                    Map.of(),
                    List.of(),
                    List.of(),
                    List.of(),
                    List.of(),
                    shortages);
            store.take(only, date, source, actor);
        }
    }

    @Override
    public String issue(String name, String actor) {
        return store.badges().issue(name, actor);
    }

    @Override
    public Optional<Badge> find(String code) {
        return store.badges().find(code);
    }

    @Override
    public void choosePin(String code, String pinHash) {
        store.badges().choosePin(code, pinHash);
    }

    @Override
    public boolean withdraw(String name, String actor) {
        return store.badges().withdraw(name, actor);
    }

    @Override
    public Map<String, Instant> inUse() {
        return store.badges().inUse();
    }

    @Override
    public String startSession(String name, Duration lasts, Duration locksAfter) {
        return store.people().startBadgeSession(name, lasts, locksAfter);
    }
}
