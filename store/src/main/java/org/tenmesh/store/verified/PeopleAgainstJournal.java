package org.tenmesh.store.verified;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.jdbi.v3.core.Handle;
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.store.people.People;
import org.tenmesh.store.people.Person;

/** Compares who may sign in, and what people did about causes, with the journal. */
final class PeopleAgainstJournal {
    private PeopleAgainstJournal() {}

    static void actions(Handle handle, Findings found) {
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
                        select coalesce(d.former_name, d.name) || '/' || a.cause as subject, a.action, a.reason, a.actor, a.at, '' as cause,
                               a.evidence_digest, a.run, a.evidence, a.lab_numbers
                        from causes.action a join intake.day d on d.id = a.day order by a.id
                        """)
                .map((rs, ctx) -> Map.entry(
                        rs.getString("subject"),
                        new Act(
                                rs.getString("action"),
                                rs.getString("reason"),
                                rs.getString("actor"),
                                rs.getObject("at", OffsetDateTime.class)
                                        .toInstant()
                                        .truncatedTo(ChronoUnit.MILLIS),
                                grounds(rs))))
                .forEach(act -> stored.computeIfAbsent(act.getKey(), subject -> new ArrayList<>())
                        .add(act.getValue()));
        record Said(long seq, Act act) {}
        Map<String, List<Said>> said = new TreeMap<>();
        handle.createQuery("""
                        select seq, subject, actor, at, detail::jsonb ->> 'action' as action,
                               detail::jsonb ->> 'reason' as reason,
                               '' as cause,
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
                                        rs.getObject("at", OffsetDateTime.class).toInstant(),
                                        grounds(rs)))))
                .forEach(one -> said.computeIfAbsent(one.getKey(), subject -> new ArrayList<>())
                        .add(one.getValue()));
        said.forEach((subject, entries) -> {
            List<Act> left = stored.computeIfAbsent(subject, s -> new ArrayList<>());
            found.compared(entries.size());
            List<Act> inOrder = List.copyOf(left);
            List<Said> alone =
                    entries.stream().filter(entry -> !left.remove(entry.act())).toList();
            for (int i = 0; i < alone.size(); i++) {
                String what = "action on cause " + subject + ": the journal (entry "
                        + alone.get(i).seq() + ") says " + alone.get(i).act().says();
                found.differs(
                        left.isEmpty()
                                ? what + ", it is gone"
                                : what + ", stored is " + left.remove(0).says());
            }
            if (alone.isEmpty()
                    && left.isEmpty()
                    && !inOrder.equals(entries.stream().map(Said::act).toList())) {
                found.differs("actions on cause " + subject + " stand in another order than in the journal");
            }
        });
        stored.forEach((subject, left) -> left.forEach(act -> found.differs("action on cause " + subject + ": "
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

    static void accounts(Handle handle, Findings found) {
        record Account(String role, boolean active, Optional<String> password, long seq) {}
        record Entry(String what, String subject, String name, Account account) {}
        Map<String, Account> said = new TreeMap<>();
        // A former name to the name its person has now, as the journal tells it.
        Map<String, String> nowCalled = new TreeMap<>();
        handle.createQuery("""
                        select seq, what, subject, detail::jsonb ->> 'role' as role,
                               (detail::jsonb ->> 'active')::boolean as active,
                               detail::jsonb ->> 'password-sha256' as password,
                               coalesce(detail::jsonb ->> 'name', '') as name
                        from journal.entry where what in ('person-added', 'person-changed', 'person-renamed') order by seq
                        """)
                .map((rs, ctx) -> new Entry(
                        rs.getString("what"),
                        rs.getString("subject"),
                        rs.getString("name"),
                        new Account(
                                rs.getString("role"),
                                rs.getBoolean("active"),
                                Optional.ofNullable(rs.getString("password")),
                                rs.getLong("seq"))))
                .forEach(entry -> {
                    Account renamed = entry.what().equals("person-renamed") ? said.remove(entry.subject()) : null;
                    if (renamed == null) {
                        said.put(entry.subject(), entry.account());
                        return;
                    }
                    said.put(entry.name(), renamed);
                    nowCalled.remove(entry.name());
                    nowCalled.replaceAll((had, now) -> now.equals(entry.subject()) ? entry.name() : now);
                    if (!entry.subject().equalsIgnoreCase(entry.name())) {
                        nowCalled.put(entry.subject(), entry.name());
                    }
                });
        formerNames(handle, nowCalled, found);
        Map<String, Person> stored = new TreeMap<>();
        handle.createQuery("select * from people.person")
                .map(People.PERSON)
                .forEach(person -> stored.put(person.name(), person));
        said.forEach((name, account) -> {
            found.compared(1);
            String entry = " (journal entry " + account.seq() + ")";
            Person now = stored.remove(name);
            if (now == null) {
                found.differs("person " + name + " is gone" + entry);
                return;
            }
            if (!now.role().word().equals(account.role()) || now.active() != account.active()) {
                found.differs("person " + name + " is " + state(now.role().word(), now.active()) + ", the journal says "
                        + state(account.role(), account.active()) + entry);
            }
            if (account.password().isEmpty()) {
                found.notCovered("person " + name + ": the password was set before digests of it were kept" + entry);
            } else if (!People.passwordDigest(now).equals(account.password().get())) {
                found.differs("person " + name + ": the password was changed outside the program" + entry);
            }
        });
        stored.keySet()
                .forEach(name -> found.differs("person " + name + " is not in the journal: added outside the program"));
    }

    private static void formerNames(Handle handle, Map<String, String> said, Findings found) {
        Map<String, String> stored = new TreeMap<>();
        handle.createQuery(
                        "select f.name, p.name as person from people.former_name f join people.person p on p.id = f.person")
                .map((rs, ctx) -> Map.entry(rs.getString("name"), rs.getString("person")))
                .forEach(one -> stored.put(one.getKey(), one.getValue()));
        said.forEach((name, person) -> {
            found.compared(1);
            String now = stored.remove(name);
            if (!person.equals(now)) {
                found.differs("the journal says that " + person + " was called " + name + " before, "
                        + (now == null ? "which is gone" : "stored is that " + now + " was"));
            }
        });
        handle.createQuery("""
                        select f.name from people.former_name f
                        where not exists (
                            select from journal.entry e
                            where e.what = 'person-renamed' and e.subject = f.name and e.at = date_trunc('milliseconds', f.until))
                        """)
                .mapTo(String.class)
                .filter(name -> !stored.containsKey(name))
                .forEach(name ->
                        found.differs("until when somebody was called " + name + " is not as the journal says"));
        stored.forEach((name, person) -> found.differs("that " + person + " was called " + name
                + " before is not in the journal: put in outside the program"));
    }

    private static String state(String role, boolean active) {
        return role + (active ? "" : ", may not sign in");
    }
}
