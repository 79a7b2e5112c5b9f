package org.tenmesh.store;

import java.sql.Array;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
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
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Run;

/**
 * Compares what is stored with what the journal says of it. One day at a time and of its readings one run at a time, so that
 * the memory it needs does not grow with the years. Not for use by several threads.
 */
final class AgainstJournal {
    /** Of one kind and day so many rows are named; the others are counted. */
    private static final int NAMED = 5;

    private record Taken(
            long seq,
            Instant at,
            String actor,
            int[] counts,
            Map<String, String> contents,
            Optional<String> controls,
            List<String[]> runs) {}

    private record Vouched(String sha256, long seq) {}

    private final Jdbi app;
    private final Consumer<String> says;
    private final List<String> differences = new ArrayList<>();
    private final List<String> notCovered = new ArrayList<>();
    private final List<String> unreadable = new ArrayList<>();
    private long compared;

    /** @param says is told what is being compared */
    AgainstJournal(Jdbi app, Consumer<String> says) {
        this.app = app;
        this.says = says;
    }

    RecordCheck check() {
        TreeSet<String> days = new TreeSet<>();
        read("the list of days", handle -> days.addAll(listDays(handle)));
        int done = 0;
        for (String day : days) {
            says.accept("Comparing day " + day + " with the journal (" + ++done + " of " + days.size() + ")");
            read("day " + day, handle -> day(handle, day));
            read("the releases of day " + day, handle -> releases(handle, day));
        }
        says.accept("Comparing releases, actions on causes and people with the journal");
        read("the list of releases", this::missingReleases);
        read("the actions on causes", this::actions);
        read("the list of people", this::people);
        return new RecordCheck(compared, differences, notCovered, unreadable);
    }

    private void read(String what, HandleConsumer<SQLException> step) {
        try {
            app.useTransaction(TransactionIsolationLevel.REPEATABLE_READ, step);
        } catch (SQLException | RuntimeException e) {
            unreadable.add(what + " cannot be read: "
                    + String.valueOf(e.getMessage()).lines().findFirst().orElse(""));
        }
    }

    // Days

    private TreeSet<String> listDays(Handle handle) {
        TreeSet<String> stored = new TreeSet<>(handle.createQuery("select name from intake.day")
                .mapTo(String.class)
                .list());
        Map<String, String> taken = new TreeMap<>();
        handle.createQuery("select subject, actor, at, seq from journal.entry where what = 'day-taken' order by seq")
                .map((rs, ctx) -> Map.entry(
                        rs.getString("subject"),
                        "taken by " + rs.getString("actor") + " on " + instant(rs.getObject("at", OffsetDateTime.class))
                                + " (journal entry " + rs.getLong("seq") + ")"))
                .forEach(entry -> taken.putIfAbsent(entry.getKey(), entry.getValue()));
        taken.forEach((name, how) -> {
            if (!stored.contains(name)) {
                differences.add("day " + name + ", " + how + ", is gone");
            }
        });
        stored.removeIf(name -> {
            if (!taken.containsKey(name)) {
                differences.add("day " + name + " is not in the journal: it was put in outside the program");
                return true;
            }
            return false;
        });
        return stored;
    }

    private void day(Handle handle, String name) throws SQLException {
        int id = Days.id(handle, name).orElseThrow();
        List<Taken> taken = taken(handle, name);
        boolean covered = taken.stream().noneMatch(one -> one.contents().isEmpty());
        for (Taken one : taken) {
            if (one.contents().isEmpty()) {
                notCovered.add("day " + name + ": what was taken on " + one.at() + " (journal entry " + one.seq()
                        + ") was taken before digests of it were kept: submissions, soils, packages, trays, control"
                        + " materials, standards, laboratory, policy and the key of the hidden controls are not"
                        + " covered, its runs are");
            }
        }
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

        Day known = Days.loadWithoutReadings(handle, id);
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
            count(name, taken, 0, known.submissions().size(), "submissions");
            count(name, taken, 1, known.soils().size(), "soils");
            count(name, taken, 2, known.trays().size(), "trays");
        }
    }

    private static List<Taken> taken(Handle handle, String day) {
        return handle.createQuery("""
                        select seq, at, actor,
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
                            instant(rs.getObject("at", OffsetDateTime.class)),
                            rs.getString("actor"),
                            new int[] {rs.getInt("submissions"), rs.getInt("soils"), rs.getInt("trays")},
                            contents,
                            Optional.ofNullable(rs.getString("controls")),
                            rows(rs.getArray("runs")));
                })
                .list();
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
                differences.add("day " + day + ": the digests of its " + kind.plural() + " that journal entry "
                        + one.seq() + " vouches for are gone or were changed");
                return;
            }
            kept.get().byName().forEach((name, digest) -> vouched.put(name, new Vouched(digest, one.seq())));
        }
        Map<String, String> found = stored.of(kind).byName();
        List<String> wrong = new ArrayList<>();
        vouched.forEach((name, digest) -> {
            compared++;
            String now = found.get(name);
            String what = "day " + day + ": " + kind.noun() + " " + name;
            if (now == null) {
                wrong.add(what + " is gone (journal entry " + digest.seq() + ")");
            } else if (!now.equals(digest.sha256())) {
                wrong.add(what + " was changed after it was taken (journal entry " + digest.seq() + ")");
            }
        });
        if (covered) {
            found.keySet().stream()
                    .filter(name -> !vouched.containsKey(name))
                    .forEach(name -> wrong.add("day " + day + ": " + kind.noun() + " " + name
                            + " is not in the journal: it was put in outside the program"));
        }
        add(wrong, "day " + day + ": " + kind.plural());
    }

    private void controls(Handle handle, String day, int id, List<Taken> taken) {
        for (int i = taken.size() - 1; i >= 0; i--) {
            Taken last = taken.get(i);
            if (last.controls().isPresent()) {
                compared++;
                if (!Contents.sealed(handle, id).equals(last.controls().get())) {
                    // No lab number: who reads this may not know the controls.
                    differences.add("day " + day + ": the key of the hidden controls is not the one that was sealed"
                            + " (journal entry " + last.seq() + ")");
                }
                return;
            }
        }
    }

    private void count(String day, List<Taken> taken, int which, int now, String plural) {
        int then = taken.stream().mapToInt(one -> one.counts()[which]).sum();
        if (then != now) {
            differences.add(
                    "day " + day + " has " + now + " " + plural + ", the journal says that " + then + " were taken");
        }
    }

    // Runs

    private void runs(Handle handle, String day, int id, List<Taken> taken) throws SQLException {
        record Stored(int id, int readings, Run head) {}
        Map<String, Stored> stored = new LinkedHashMap<>();
        handle.createQuery("""
                        select id, run, readings, method, instrument, operator, started_at, started_offset
                        from reading.run where day = :day order by id
                        """)
                .bind("day", id)
                .map((rs, ctx) -> new Stored(
                        rs.getInt("id"),
                        rs.getInt("readings"),
                        new Run(
                                rs.getString("run"),
                                rs.getString("method"),
                                rs.getString("instrument"),
                                Optional.ofNullable(rs.getString("operator")),
                                Days.at(
                                        instant(rs.getObject("started_at", OffsetDateTime.class)),
                                        rs.getInt("started_offset")),
                                Readings.builder().build())))
                .forEach(run -> stored.put(run.head().run(), run));
        for (Taken one : taken) {
            for (String[] run : one.runs()) {
                compared++;
                String what = "day " + day + ": run " + run[0];
                Stored now = stored.remove(run[0]);
                if (now == null) {
                    differences.add(what + " is gone (journal entry " + one.seq() + ")");
                    continue;
                }
                Optional<Run> whole = whole(handle, now.id(), now.head());
                if (whole.isEmpty() || !Days.digest(whole.get()).equals(run[1])) {
                    differences.add(
                            what + " is not as it was taken" + where(handle, whole, now.id(), now.readings(), run[2])
                                    + " (journal entry " + one.seq() + ")");
                }
            }
        }
        stored.keySet()
                .forEach(run -> differences.add(
                        "day " + day + ": run " + run + " is not in the journal: it was put in outside the program"));
    }

    /** The run with its readings; empty when readings of it are lost. */
    private static Optional<Run> whole(Handle handle, int id, Run head) throws SQLException {
        try {
            Readings readings = Days.readings(handle, List.of(id)).getOrDefault(id, head.readings());
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
        String first = String.join(", ", names.stream().limit(NAMED).toList());
        return names.size() > NAMED ? first + " and " + (names.size() - NAMED) + " more" : first;
    }

    // Releases

    private void releases(Handle handle, String day) throws SQLException {
        record Signed(
                int id,
                String submission,
                int revision,
                String signedBy,
                OffsetDateTime signedAt,
                String reason,
                long seq,
                String actor,
                Instant at,
                String saidReason,
                String saidAt,
                String results,
                String list) {}
        List<Signed> all = handle.createQuery("""
                        select r.id, r.submission, r.revision, r.signed_by, r.signed_at, r.signed_offset, r.reason,
                               coalesce(e.seq, 0) as seq, coalesce(e.actor, '') as actor, coalesce(e.at, r.signed_at) as at,
                               coalesce(e.detail::jsonb ->> 'reason', '') as said_reason,
                               coalesce(e.detail::jsonb ->> 'signed-at', '') as said_at,
                               coalesce(e.detail::jsonb ->> 'results-sha256', '') as results,
                               coalesce(e.detail::jsonb -> 'contents' -> 'results' ->> 1, '') as list
                        from release.release r
                        join intake.day d on d.id = r.day
                        left join journal.entry e
                            on e.subject = d.name || '/' || r.submission || '/' || r.revision and e.what = 'released'
                        where d.name = :day
                        order by r.submission, r.revision, e.seq
                        """)
                .bind("day", day)
                .map((rs, ctx) -> new Signed(
                        rs.getInt("id"),
                        rs.getString("submission"),
                        rs.getInt("revision"),
                        rs.getString("signed_by"),
                        Days.at(instant(rs.getObject("signed_at", OffsetDateTime.class)), rs.getInt("signed_offset")),
                        rs.getString("reason"),
                        rs.getLong("seq"),
                        rs.getString("actor"),
                        instant(rs.getObject("at", OffsetDateTime.class)),
                        rs.getString("said_reason"),
                        rs.getString("said_at"),
                        rs.getString("results"),
                        rs.getString("list")))
                .list();
        for (Signed one : all) {
            compared++;
            String what = "day " + day + ": release " + one.revision() + " of submission " + one.submission();
            if (one.seq() == 0) {
                differences.add(what + " is not in the journal: it was put in outside the program");
                continue;
            }
            String entry = " (journal entry " + one.seq() + ")";
            if (!one.signedBy().equals(one.actor())) {
                differences.add(what + " is signed by " + one.signedBy() + ", the journal says " + one.actor() + entry);
            }
            boolean sameTime = one.saidAt().isEmpty()
                    ? one.signedAt().toInstant().truncatedTo(ChronoUnit.MILLIS).equals(one.at())
                    : one.signedAt().toString().equals(one.saidAt());
            if (!sameTime) {
                differences.add(what + " is dated " + one.signedAt() + ", the journal says "
                        + (one.saidAt().isEmpty() ? one.at() : one.saidAt()) + entry);
            }
            if (!one.reason().equals(one.saidReason())) {
                differences.add(what + " gives the reason \"" + one.reason() + "\", the journal says \""
                        + one.saidReason() + "\"" + entry);
            }
            results(handle, what, entry, one.id(), one.results(), one.list());
        }
    }

    private void results(Handle handle, String what, String entry, int release, String sha256, String list)
            throws SQLException {
        var results = Releases.results(handle.getConnection(), release);
        Map<String, String> now = Contents.results(results).byName();
        compared += now.size();
        List<String> wrong = new ArrayList<>();
        RowDigests.kept(handle, list).ifPresent(kept -> {
            kept.byName().forEach((name, digest) -> {
                String found = now.get(name);
                if (found == null) {
                    wrong.add(what + ": the result " + name + " is gone" + entry);
                } else if (!found.equals(digest)) {
                    wrong.add(what + ": the result " + name + " was changed after it was signed" + entry);
                }
            });
            now.keySet().stream()
                    .filter(name -> !kept.byName().containsKey(name))
                    .forEach(name ->
                            wrong.add(what + ": the result " + name + " was put in after it was signed" + entry));
        });
        if (wrong.isEmpty() && !Releases.resultsDigest(results).equals(sha256)) {
            wrong.add(what + ": its results are not those that were signed" + entry);
        } else if (wrong.isEmpty()
                && !list.isEmpty()
                && RowDigests.kept(handle, list).isEmpty()) {
            wrong.add(what + ": the digests of its results that the journal vouches for are gone or were changed"
                    + entry);
        }
        add(wrong, what + ": results");
    }

    private void missingReleases(Handle handle) {
        handle.createQuery("""
                        select e.subject, e.actor, e.at, e.seq from journal.entry e
                        where e.what = 'released' and not exists (
                            select from release.release r join intake.day d on d.id = r.day
                            where d.name || '/' || r.submission || '/' || r.revision = e.subject)
                        order by e.seq
                        """)
                .map((rs, ctx) -> "release " + rs.getString("subject") + " (day/submission/revision), signed by "
                        + rs.getString("actor") + " on " + instant(rs.getObject("at", OffsetDateTime.class))
                        + ", is gone (journal entry " + rs.getLong("seq") + ")")
                .forEach(differences::add);
    }

    // What people did about causes

    private void actions(Handle handle) {
        record Act(String action, String reason, String actor, Instant at, Grounds grounds) {
            String says() {
                return "\"" + action + "\" by " + actor + " on " + at
                        + (reason.isEmpty() ? "" : " because \"" + reason + "\"")
                        + (grounds.evidenceDigest().isEmpty()
                                ? ""
                                : ", decided on " + grounds.labNumbers() + " lab numbers of run " + grounds.run()
                                        + " and evidence " + grounds.evidenceDigest() + ": " + grounds.evidence());
            }
        }
        Map<String, List<Act>> stored = new TreeMap<>();
        handle.createQuery("""
                        select d.name || '/' || a.cause as subject, a.action, a.reason, a.actor, a.at, a.cause,
                               a.evidence_digest, a.run, a.evidence, a.lab_numbers
                        from causes.action a join intake.day d on d.id = a.day order by a.id
                        """)
                .map((rs, ctx) -> Map.entry(
                        rs.getString("subject"),
                        new Act(
                                rs.getString("action"),
                                rs.getString("reason"),
                                rs.getString("actor"),
                                instant(rs.getObject("at", OffsetDateTime.class))
                                        .truncatedTo(ChronoUnit.MILLIS),
                                grounds(rs))))
                .forEach(act -> stored.computeIfAbsent(act.getKey(), subject -> new ArrayList<>())
                        .add(act.getValue()));
        record Said(long seq, Act act) {}
        Map<String, List<Said>> said = new TreeMap<>();
        handle.createQuery("""
                        select seq, subject, actor, at, detail::jsonb ->> 'action' as action,
                               detail::jsonb ->> 'reason' as reason,
                               substring(subject from position('/' in subject) + 1) as cause,
                               coalesce(detail::jsonb ->> 'evidence_digest', '') as evidence_digest,
                               coalesce(detail::jsonb ->> 'run', '') as run,
                               coalesce(detail::jsonb ->> 'evidence', '') as evidence,
                               coalesce((detail::jsonb ->> 'lab_numbers')::int, 0) as lab_numbers
                        from journal.entry where what = 'cause-acted' order by seq
                        """)
                .map((rs, ctx) -> Map.entry(
                        rs.getString("subject"),
                        new Said(
                                rs.getLong("seq"),
                                new Act(
                                        rs.getString("action"),
                                        rs.getString("reason"),
                                        rs.getString("actor"),
                                        instant(rs.getObject("at", OffsetDateTime.class)),
                                        grounds(rs)))))
                .forEach(one -> said.computeIfAbsent(one.getKey(), subject -> new ArrayList<>())
                        .add(one.getValue()));
        said.forEach((subject, entries) -> {
            List<Act> left = stored.computeIfAbsent(subject, s -> new ArrayList<>());
            compared += entries.size();
            List<Said> alone =
                    entries.stream().filter(entry -> !left.remove(entry.act())).toList();
            for (int i = 0; i < alone.size(); i++) {
                String what = "action on cause " + subject + ": the journal (entry "
                        + alone.get(i).seq() + ") says " + alone.get(i).act().says();
                differences.add(
                        left.isEmpty()
                                ? what + ", it is gone"
                                : what + ", stored is " + left.remove(0).says());
            }
        });
        stored.forEach((subject, left) -> left.forEach(act -> differences.add("action on cause " + subject + ": "
                + act.says() + " is not in the journal: it was put in outside the program")));
    }

    private static Grounds grounds(ResultSet rs) throws SQLException {
        return new Grounds(
                rs.getString("cause"),
                rs.getString("evidence_digest"),
                rs.getString("run"),
                rs.getString("evidence"),
                rs.getInt("lab_numbers"));
    }

    // People

    private void people(Handle handle) {
        record Account(String role, boolean active, Optional<String> password, long seq) {}
        Map<String, Account> said = new TreeMap<>();
        handle.createQuery("""
                        select seq, subject, detail::jsonb ->> 'role' as role,
                               (detail::jsonb ->> 'active')::boolean as active,
                               detail::jsonb ->> 'password-sha256' as password,
                               detail::jsonb ->> 'password-changed' as changed
                        from journal.entry where what in ('person-added', 'person-changed') order by seq
                        """)
                .map((rs, ctx) -> Map.entry(
                        rs.getString("subject"),
                        new Account(
                                rs.getString("role"),
                                rs.getBoolean("active"),
                                Optional.ofNullable(rs.getString("password")),
                                rs.getLong("seq"))))
                .forEach(entry -> said.put(entry.getKey(), entry.getValue()));
        Map<String, Person> stored = new TreeMap<>();
        handle.createQuery("select * from people.person")
                .map(People.PERSON)
                .forEach(person -> stored.put(person.name(), person));
        said.forEach((name, account) -> {
            compared++;
            String entry = " (journal entry " + account.seq() + ")";
            Person now = stored.remove(name);
            if (now == null) {
                differences.add("person " + name + " is gone" + entry);
                return;
            }
            if (!now.role().word().equals(account.role()) || now.active() != account.active()) {
                differences.add("person " + name + " is " + state(now.role().word(), now.active())
                        + ", the journal says " + state(account.role(), account.active()) + entry);
            }
            if (account.password().isEmpty()) {
                notCovered.add("person " + name + ": the password was set before digests of it were kept" + entry);
            } else if (!People.passwordDigest(now).equals(account.password().get())) {
                differences.add("person " + name + ": the password was changed outside the program" + entry);
            }
        });
        stored.keySet()
                .forEach(name ->
                        differences.add("person " + name + " is not in the journal: added outside the program"));
    }

    private static String state(String role, boolean active) {
        return role + (active ? "" : ", may not sign in");
    }

    private void add(List<String> wrong, String what) {
        differences.addAll(wrong.subList(0, Math.min(NAMED, wrong.size())));
        if (wrong.size() > NAMED) {
            differences.add(what + ": " + (wrong.size() - NAMED) + " more differ");
        }
    }

    private static Instant instant(OffsetDateTime at) {
        return at.toInstant();
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
