package org.tenmesh.store.days;

import java.sql.SQLException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.jdbi.v3.core.Handle;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.rows.Refused;

/** The runs of the import that are not there yet. */
final class ImportedRuns {
    private record Known(String run, LocalDate date, Instant startedAt, String sha256) {}

    private final Importing context;
    private final List<Run> fresh = new ArrayList<>();
    private final List<Integer> days = new ArrayList<>();
    private final List<LocalDate> dateOf = new ArrayList<>();
    private final List<String> digests = new ArrayList<>();

    ImportedRuns(Importing context) {
        this.context = context;
        Map<String, List<Known>> known = new HashMap<>();
        context.handle()
                .createQuery("""
                        select r.run, d.on_date, r.started_at, r.sha256
                        from reading.run r
                        join intake.day d on d.id = r.day
                        where d.register = :register and r.run = any(:runs)
                        """)
                .bind("register", context.register())
                .bindArray(
                        "runs",
                        String.class,
                        context.day().runs().stream().map(Run::run).toList())
                .map((row, its) -> new Known(
                        row.getString("run"),
                        row.getObject("on_date", LocalDate.class),
                        row.getObject("started_at", OffsetDateTime.class).toInstant(),
                        row.getString("sha256")))
                .forEach(one -> known.computeIfAbsent(one.run(), run -> new ArrayList<>())
                        .add(one));
        for (Run run : context.day().runs()) {
            List<String> identities = StoredReadings.identities(run);
            LocalDate date = context.dates().of(run, identities, () -> isRedo(run, identities));
            Instant startedAt = run.startedAt().toInstant().truncatedTo(ChronoUnit.MICROS);
            String digest = RunDigest.of(run);
            List<Known> sameName = known.computeIfAbsent(run.run(), name -> new ArrayList<>());
            Optional<Known> same = sameName.stream()
                    .filter(one ->
                            one.startedAt().equals(startedAt) || one.date().equals(date))
                    .findFirst();
            if (same.isEmpty()) {
                sameName.add(new Known(run.run(), date, startedAt, digest));
                fresh.add(run);
                days.add(context.dayId(date));
                dateOf.add(date);
                digests.add(digest);
            } else if (!same.get().sha256().equals(digest)) {
                throw new Refused(
                        "day " + Days.name(context.register(), same.get().date()) + " has run " + run.run()
                                + " already, with other readings; readings are never changed, so nothing of the import was"
                                + " stored: give the new readings a run of their own");
            }
        }
    }

    /** Whether most of what a run read had been read by its method before it started, in this import or an earlier one. */
    private boolean isRedo(Run run, List<String> identities) {
        return isRedo(
                context.handle(),
                context.register(),
                run,
                identities,
                context.day().runs());
    }

    static boolean isRedo(Handle handle, String register, Run run, Collection<String> identities, List<Run> others) {
        Set<String> before = new HashSet<>(handle.createQuery("""
                        select distinct i.identity
                        from reading.identity i
                        join reading.run r on r.id = i.run
                        join intake.day d on d.id = r.day
                        where d.register = :register and r.method = :method and r.started_at < :startedAt
                          and i.identity = any(:identities)
                        """)
                .bind("register", register)
                .bind("method", run.method())
                .bind("startedAt", run.startedAt())
                .bindArray("identities", String.class, identities.toArray())
                .mapTo(String.class)
                .list());
        others.stream()
                .filter(other -> other.method().equals(run.method())
                        && other.startedAt()
                                .toInstant()
                                .isBefore(run.startedAt().toInstant()))
                .forEach(other -> before.addAll(StoredReadings.identities(other)));
        return 2 * identities.stream().filter(before::contains).count() > identities.size();
    }

    long readings() {
        return fresh.stream().mapToLong(run -> run.readings().size()).sum();
    }

    /** Refuses runs of which more is to come: what they read is taken part by part. */
    void refuseUnderWay() {
        context.handle()
                .createQuery(
                        "select run from reading.under_way where register = :register and run = any(:runs) limit 1")
                .bind("register", context.register())
                .bindArray("runs", String.class, fresh.stream().map(Run::run).toList())
                .mapTo(String.class)
                .findOne()
                .ifPresent(run -> {
                    throw new Refused(
                            "run " + run
                                    + " is under way: its readings are taken as they arrive; nothing of the import was stored: import it after it has ended");
                });
    }

    /** Stores the heads of runs whose readings are there already. */
    List<Integer> end(int source, int id) throws SQLException {
        return StoredReadings.heads(context.handle(), source, List.of(id), fresh, days, digests);
    }

    List<Integer> copy(int source) throws SQLException {
        return StoredReadings.copy(context.handle(), source, fresh, days, digests);
    }

    /** What the journal says of each: its name, with its day where that is another, and its digests. */
    List<List<String>> inJournal(LocalDate listed) {
        List<List<String>> all = new ArrayList<>();
        for (int i = 0; i < fresh.size(); i++) {
            Run run = fresh.get(i);
            all.add(List.of(
                    days.get(i).equals(context.dayId(listed)) ? run.run() : Days.runOf(dateOf.get(i), run.run()),
                    digests.get(i),
                    RunDigests.byIdentity(run).keep(context.handle())));
        }
        return all;
    }

    /** What is new. */
    List<Run> fresh() {
        return List.copyOf(fresh);
    }
}
