package org.tenmesh.store.verified;

import java.sql.Array;
import java.sql.SQLException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.function.Consumer;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.HandleConsumer;
import org.jdbi.v3.core.Jdbi;
import org.jdbi.v3.core.transaction.TransactionIsolationLevel;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.days.Contents;
import org.tenmesh.store.days.DayLoading;
import org.tenmesh.store.days.Days;
import org.tenmesh.store.days.RunDigest;
import org.tenmesh.store.days.RunDigests;
import org.tenmesh.store.days.StoredReadings;
import org.tenmesh.store.journal.RowDigests;

/**
 * Compares what is stored with what the journal says of it. One day at a time and of its readings one run at a time, so that
 * the memory it needs does not grow with the years. Not for use by several threads.
 */
public final class AgainstJournal {
    private record Taken(
            long seq,
            Instant at,
            String actor,
            String source,
            long readings,
            int[] counts,
            Map<String, String> contents,
            Optional<String> controls,
            List<String[]> runs) {}

    private record Vouched(String sha256, long seq) {}

    private final Jdbi app;
    private final Consumer<String> says;
    private final Findings found = new Findings();

    /** @param says is told what is being compared */
    public AgainstJournal(Jdbi app, Consumer<String> says) {
        this.app = app;
        this.says = says;
    }

    public RecordCheck check() {
        TreeMap<String, Integer> days = new TreeMap<>();
        read("the list of days", handle -> days.putAll(listDays(handle)));
        int done = 0;
        for (Map.Entry<String, Integer> one : days.entrySet()) {
            String day = one.getKey();
            int id = one.getValue();
            says.accept("Comparing day " + day + " with the journal (" + ++done + " of " + days.size() + ")");
            read("day " + day, handle -> day(handle, day, id));
            read("the releases of day " + day, handle -> ReleasesAgainstJournal.ofDay(handle, day, id, found));
        }
        says.accept("Comparing what is on the lists of days");
        read("the lists of days", handle -> ListsOfDays.check(handle, found));
        says.accept("Comparing arrivals, releases, actions on causes and people with the journal");
        read("the arrivals", handle -> ArrivalsAgainstJournal.check(handle, found));
        read("the kept reports", handle -> ReleasesAgainstJournal.reports(handle, found));
        read("the second person", handle -> ReleasesAgainstJournal.secondPerson(handle, found));
        read("the list of releases", handle -> ReleasesAgainstJournal.missing(handle, found));
        read("the actions on causes", handle -> PeopleAgainstJournal.actions(handle, found));
        read("the answers to causes", handle -> AnswersAgainstJournal.check(handle, found));
        read("the worksheets", handle -> WorksheetsAgainstJournal.check(handle, found));
        read("changes of submissions", handle -> SubmissionsAgainstJournal.check(handle, found));
        read("the run orders", handle -> OrdersAgainstJournal.check(handle, found));
        read("what was done at the dock", handle -> DockAgainstJournal.check(handle, found));
        read("what was noted at the bench", handle -> BenchAgainstJournal.check(handle, found));
        read("the tokens of programs", handle -> ProgramsAgainstJournal.check(handle, found));
        read("the lists of areas and permits", handle -> CustodyAgainstJournal.papers(handle, found));
        read("lots and equipment", handle -> EquipmentAgainstJournal.check(handle, found));
        read("the account of regulated soil", handle -> CustodyAgainstJournal.ledger(handle, found));
        read("the shelf", handle -> ShelfAgainstJournal.check(handle, found));
        read("labels that were printed", handle -> LabelsAgainstJournal.check(handle, found));
        read("the list of people", handle -> PeopleAgainstJournal.accounts(handle, found));
        return found.check();
    }

    private void read(String what, HandleConsumer<SQLException> step) {
        try {
            app.useTransaction(TransactionIsolationLevel.REPEATABLE_READ, step);
        } catch (SQLException | RuntimeException e) {
            found.unreadable(what + " cannot be read: "
                    + String.valueOf(e.getMessage()).lines().findFirst().orElse(""));
        }
    }

    // Days

    /** Days for which something was imported or released, by what the journal calls them. */
    private TreeMap<String, Integer> listDays(Handle handle) {
        TreeMap<String, Integer> stored = new TreeMap<>();
        handle.createQuery("""
                        select coalesce(former_name, name) as name, id from intake.day d
                        where exists (select from intake.source s where s.day = d.id)
                        """)
                .map((rs, ctx) -> Map.entry(rs.getString("name"), rs.getInt("id")))
                .forEach(day -> stored.put(day.getKey(), day.getValue()));
        Map<String, String> taken = new TreeMap<>();
        handle.createQuery("select subject, actor, at, seq from journal.entry where what = 'day-taken' order by seq")
                .map((rs, ctx) -> Map.entry(
                        rs.getString("subject"),
                        "taken by " + rs.getString("actor") + " on "
                                + rs.getObject("at", OffsetDateTime.class).toInstant() + " (journal entry "
                                + rs.getLong("seq") + ")"))
                .forEach(entry -> taken.putIfAbsent(entry.getKey(), entry.getValue()));
        taken.forEach((name, how) -> {
            if (!stored.containsKey(name)) {
                found.differs("day " + name + ", " + how + ", is gone");
            }
        });
        stored.keySet().removeIf(name -> {
            if (!taken.containsKey(name)) {
                found.differs("day " + name + " is not in the journal: it was put in outside the program");
                return true;
            }
            return false;
        });
        return stored;
    }

    private void day(Handle handle, String name, int id) throws SQLException {
        List<Taken> taken = taken(handle, name);
        boolean covered = taken.stream().noneMatch(one -> one.contents().isEmpty());
        for (Taken one : taken) {
            if (one.contents().isEmpty()) {
                found.notCovered("day " + name + ": what was taken on " + one.at() + " (journal entry " + one.seq()
                        + ") was taken before digests of it were kept: submissions, soils, packages, trays, control"
                        + " materials, standards, laboratory, policy and the key of the hidden controls are not"
                        + " covered, its runs are");
            }
        }
        imports(handle, name, id, taken);
        Contents laboratories = new Contents();
        for (int source : handle.createQuery("select id from intake.source where day = :day order by id")
                .bind("day", id)
                .mapTo(Integer.class)
                .list()) {
            laboratories.laboratory(handle, source);
        }
        kind(handle, name, taken, covered, laboratories, Contents.Kind.LABORATORY);
        controls(handle, name, id, taken);
        runs(handle, name, id, taken);

        Day known = DayLoading.brought(handle, id);
        Contents stored = new Contents()
                .submissions(known.submissions())
                .soils(known.soils())
                .packages(known.packages())
                .shortages(known.shortages())
                .trays(known.trays())
                .materials(known.materials())
                .standards(known.standards());
        for (Contents.Kind kind : Contents.Kind.values()) {
            if (kind != Contents.Kind.LABORATORY) {
                kind(handle, name, taken, covered, stored, kind);
            }
        }
        if (!covered) {
            count(name, taken, 0, ListsOfDays.listed(handle, id, "submission", counted(taken, 0)), "submissions");
            count(name, taken, 1, ListsOfDays.listed(handle, id, "soil", counted(taken, 1)), "soils");
            count(name, taken, 2, known.trays().size(), "trays");
        }
    }

    private static List<Taken> taken(Handle handle, String day) {
        return handle.createQuery("""
                        select seq, at, actor, detail::jsonb ->> 'source' as source,
                               (detail::jsonb ->> 'readings')::bigint as readings,
                               (detail::jsonb ->> 'submissions')::int as submissions,
                               (detail::jsonb ->> 'soils')::int as soils,
                               (detail::jsonb ->> 'trays')::int as trays,
                               detail::jsonb ->> 'controls-sha256' as controls,
                               array(select array[k.key, k.value ->> 1]
                                     from jsonb_each(detail::jsonb -> 'contents') k) as contents,
                               array(select array[r ->> 0, r ->> 1, coalesce(r ->> 2, '')]
                                     from jsonb_array_elements(detail::jsonb -> 'runs') r) as runs
                        from journal.entry
                        where subject = :day and what = 'day-taken'
                        order by seq
                        """)
                .bind("day", day)
                .map((rs, ctx) -> {
                    Map<String, String> contents = new HashMap<>();
                    for (String[] kind : rows(rs.getArray("contents"))) {
                        contents.put(kind[0], kind[1]);
                    }
                    return new Taken(
                            rs.getLong("seq"),
                            rs.getObject("at", OffsetDateTime.class).toInstant(),
                            rs.getString("actor"),
                            rs.getString("source"),
                            rs.getLong("readings"),
                            new int[] {rs.getInt("submissions"), rs.getInt("soils"), rs.getInt("trays")},
                            contents,
                            Optional.ofNullable(rs.getString("controls")),
                            rows(rs.getArray("runs")));
                })
                .list();
    }

    private void imports(Handle handle, String day, int id, List<Taken> taken) {
        record Import(String actor, Instant at, int soils, long readings) {}
        Map<String, Import> stored = new TreeMap<>();
        handle.createQuery("select sha256, actor, taken_at, soils, readings from intake.source where day = :day")
                .bind("day", id)
                .map((rs, ctx) -> Map.entry(
                        rs.getString("sha256"),
                        new Import(
                                rs.getString("actor"),
                                rs.getObject("taken_at", OffsetDateTime.class)
                                        .toInstant()
                                        .truncatedTo(ChronoUnit.MILLIS),
                                rs.getInt("soils"),
                                rs.getLong("readings"))))
                .forEach(one -> stored.put(one.getKey(), one.getValue()));
        for (Taken one : taken) {
            found.compared(1);
            Import said = new Import(one.actor(), one.at(), one.counts()[1], one.readings());
            Import now = stored.remove(one.source());
            String what = "day " + day + ": import " + one.source().substring(0, 12);
            String entry = " (journal entry " + one.seq() + ")";
            if (now == null) {
                found.differs(what + " is gone" + entry);
            } else if (!now.equals(said)) {
                found.differs(
                        what + " is by " + now.actor() + " on " + now.at() + " with " + now.soils() + " soils and "
                                + now.readings() + " readings, the journal says by " + said.actor() + " on " + said.at()
                                + " with "
                                + said.soils() + " soils and " + said.readings() + " readings" + entry);
            }
        }
        stored.keySet()
                .forEach(source -> found.differs("day " + day + ": import " + source.substring(0, 12)
                        + " is not in the journal: it was put in outside the program"));
    }

    private void kind(
            Handle handle, String day, List<Taken> taken, boolean covered, Contents stored, Contents.Kind kind) {
        Map<String, Vouched> vouched = new TreeMap<>();
        for (Taken one : taken) {
            String sha256 = one.contents().get(kind.plural());
            if (sha256 == null) {
                continue;
            }
            Optional<RowDigests> kept = RowDigests.kept(handle, sha256);
            if (kept.isEmpty()) {
                found.differs("day " + day + ": the digests of its " + kind.plural() + " that journal entry "
                        + one.seq() + " vouches for are gone or were changed");
                return;
            }
            kept.get().byName().forEach((name, digest) -> vouched.put(name, new Vouched(digest, one.seq())));
        }
        Map<String, String> now = stored.of(kind).byName();
        List<String> wrong = new ArrayList<>();
        vouched.forEach((name, digest) -> {
            found.compared(1);
            String present = now.get(name);
            String what = "day " + day + ": " + kind.noun() + " " + name;
            if (present == null) {
                wrong.add(what + " is gone (journal entry " + digest.seq() + ")");
            } else if (!present.equals(digest.sha256())) {
                wrong.add(what + " was changed after it was taken (journal entry " + digest.seq() + ")");
            }
        });
        if (covered) {
            now.keySet().stream()
                    .filter(name -> !vouched.containsKey(name))
                    .forEach(name -> wrong.add("day " + day + ": " + kind.noun() + " " + name
                            + " is not in the journal: it was put in outside the program"));
        }
        found.differ(wrong, "day " + day + ": " + kind.plural());
    }

    private void controls(Handle handle, String day, int id, List<Taken> taken) {
        for (int i = taken.size() - 1; i >= 0; i--) {
            Taken last = taken.get(i);
            if (last.controls().isPresent()) {
                found.compared(1);
                if (!Contents.sealed(handle, id).equals(last.controls().get())) {
                    // No lab number: who reads this may not know the controls.
                    found.differs("day " + day + ": the key of the hidden controls is not the one that was sealed"
                            + " (journal entry " + last.seq() + ")");
                }
                return;
            }
        }
    }

    private static int counted(List<Taken> taken, int which) {
        return taken.stream().mapToInt(one -> one.counts()[which]).sum();
    }

    private void count(String day, List<Taken> taken, int which, int now, String plural) {
        int then = counted(taken, which);
        if (then != now) {
            found.differs(
                    "day " + day + " has " + now + " " + plural + ", the journal says that " + then + " were taken");
        }
    }

    // Runs

    private void runs(Handle handle, String day, int id, List<Taken> taken) throws SQLException {
        record Stored(String name, int id, int readings, String sha256, Run head) {}
        Map<String, Stored> stored = new LinkedHashMap<>();
        handle.createQuery("""
                        select r.id, r.run, r.readings, r.sha256, r.method, r.instrument, r.operator, r.started_at,
                               r.started_offset, r.day = s.day as same_day, d.on_date
                        from intake.source s
                        join reading.run r on r.source = s.id
                        join intake.day d on d.id = r.day
                        where s.day = :day
                        order by r.id
                        """)
                .bind("day", id)
                .map((rs, ctx) -> new Stored(
                        rs.getBoolean("same_day")
                                ? rs.getString("run")
                                : Days.runOf(rs.getObject("on_date", LocalDate.class), rs.getString("run")),
                        rs.getInt("id"),
                        rs.getInt("readings"),
                        rs.getString("sha256"),
                        new Run(
                                rs.getString("run"),
                                rs.getString("method"),
                                rs.getString("instrument"),
                                Optional.ofNullable(rs.getString("operator")),
                                Days.at(
                                        rs.getObject("started_at", OffsetDateTime.class)
                                                .toInstant(),
                                        rs.getInt("started_offset")),
                                Readings.builder().build())))
                .forEach(run -> stored.put(run.name(), run));
        for (Taken one : taken) {
            for (String[] run : one.runs()) {
                found.compared(1);
                String what = "day " + day + ": run " + run[0];
                Stored now = stored.remove(run[0]);
                if (now == null) {
                    found.differs(what + " is gone (journal entry " + one.seq() + ")");
                    continue;
                }
                Optional<Run> whole = whole(handle, now.id(), now.head());
                if (whole.isEmpty() || !RunDigest.of(whole.get()).equals(run[1])) {
                    found.differs(
                            what + " is not as it was taken" + where(handle, whole, now.id(), now.readings(), run[2])
                                    + " (journal entry " + one.seq() + ")");
                } else if (!now.sha256().equals(run[1])
                        || now.readings() != whole.get().readings().size()) {
                    found.differs(
                            what + ": the digest or number of readings that is stored with it is not the journal's"
                                    + " (journal entry " + one.seq() + ")");
                } else {
                    identities(handle, what, now.id(), whole.get());
                }
            }
        }
        stored.keySet()
                .forEach(run -> found.differs(
                        "day " + day + ": run " + run + " is not in the journal: it was put in outside the program"));
    }

    /** Whether the run is found by what it read. */
    private void identities(Handle handle, String what, int id, Run run) {
        TreeSet<String> read = new TreeSet<>(StoredReadings.identities(run));
        TreeSet<String> present =
                new TreeSet<>(handle.createQuery("select identity from reading.identity where run = :run")
                        .bind("run", id)
                        .mapTo(String.class)
                        .list());
        if (!read.equals(present)) {
            TreeSet<String> differ = new TreeSet<>(read);
            differ.removeAll(present);
            present.removeAll(read);
            differ.addAll(present);
            found.differs(what + " is not found by all it read, or by what it did not read: " + names(differ));
        }
    }

    /** The run with its readings; empty when readings of it are lost. */
    private static Optional<Run> whole(Handle handle, int id, Run head) throws SQLException {
        try {
            Readings readings = StoredReadings.readings(handle, List.of(id)).getOrDefault(id, head.readings());
            return Optional.of(
                    new Run(head.run(), head.method(), head.instrument(), head.operator(), head.startedAt(), readings));
        } catch (IllegalStateException lost) {
            return Optional.empty();
        }
    }

    private static String where(Handle handle, Optional<Run> whole, int id, int readings, String list) {
        if (whole.isEmpty() || whole.get().readings().size() != readings) {
            long left = handle.createQuery("select count(*) from reading.reading where run = :run")
                    .bind("run", id)
                    .mapTo(Long.class)
                    .one();
            List<String> identities = handle.createQuery(
                            "select distinct identity from reading.reading where run = :run")
                    .bind("run", id)
                    .mapTo(String.class)
                    .list();
            TreeSet<String> lost = new TreeSet<>();
            RowDigests.kept(handle, list)
                    .ifPresent(kept -> lost.addAll(kept.byName().keySet()));
            identities.forEach(identity -> lost.remove(RowDigests.escaped(identity)));
            lost.removeIf(name -> name.startsWith("position "));
            return ": it has " + left + " readings, " + readings + " were stored"
                    + (lost.isEmpty() ? "" : "; those of " + names(lost) + " are gone");
        }
        Map<String, String> now = RunDigests.byIdentity(whole.get()).byName();
        TreeSet<String> changed = new TreeSet<>();
        RowDigests.kept(handle, list).ifPresent(kept -> {
            kept.byName().forEach((name, digest) -> {
                if (!digest.equals(now.get(name))) {
                    changed.add(name);
                }
            });
            now.keySet().stream()
                    .filter(name -> !kept.byName().containsKey(name))
                    .forEach(changed::add);
        });
        return changed.isEmpty() ? "" : ": the readings of " + names(changed) + " differ";
    }

    private static String names(TreeSet<String> names) {
        String first = String.join(", ", names.stream().limit(Findings.NAMED).toList());
        return names.size() > Findings.NAMED ? first + " and " + (names.size() - Findings.NAMED) + " more" : first;
    }

    /** A two-dimensional array of texts; one without rows has one dimension. */
    private static List<String[]> rows(Array array) throws SQLException {
        List<String[]> rows = new ArrayList<>();
        for (Object row : (Object[]) array.getArray()) {
            rows.add((String[]) row);
        }
        return rows;
    }
}
