package org.tenmesh.store.people;

import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Locale;
import org.jdbi.v3.core.Handle;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Json;
import org.tenmesh.store.rows.Refused;

/** Names that people have and had: each belongs to one person for ever. */
final class Renaming {
    private Renaming() {}

    /** Gives a person another name and keeps the one they had. */
    static void rename(Handle handle, Journal journal, Instant now, Person person, String name, String actor) {
        PersonName.wrong(name).ifPresent(wrong -> {
            throw new Refused(wrong + " Nothing was changed");
        });
        if (person.name().equals(name)) {
            throw new Refused(name + " is the name already; nothing was changed");
        }
        refuseAlike(handle, name, person.name());
        handle.createUpdate("""
                        delete from people.former_name f using people.person p
                        where p.id = f.person and p.name = :before and lower(f.name) = lower(:name)
                        """)
                .bind("before", person.name())
                .bind("name", name)
                .execute();
        // a change of capitals alone leaves no name behind that another could take
        if (!person.name().toLowerCase(Locale.ROOT).equals(name.toLowerCase(Locale.ROOT))) {
            handle.createUpdate("""
                            insert into people.former_name (name, person, until)
                            select name, id, :until from people.person where name = :before
                            """)
                    .bind("until", now.atOffset(ZoneOffset.UTC))
                    .bind("before", person.name())
                    .execute();
        }
        handle.createUpdate("update people.person set name = :name where name = :before")
                .bind("name", name)
                .bind("before", person.name())
                .execute();
        journal.write(handle, now, actor, "person-renamed", person.name(), Json.object("name", name));
    }

    static List<FormerName> former(Handle handle) {
        return handle.createQuery("""
                        select f.name, p.name as person, f.until
                        from people.former_name f join people.person p on p.id = f.person order by f.until desc, f.name
                        """)
                .map((rs, ctx) -> new FormerName(
                        rs.getString("name"),
                        rs.getString("person"),
                        rs.getObject("until", OffsetDateTime.class).toInstant()))
                .list();
    }

    /**
     * Refuses a name that is, was, or is easily taken for that of somebody else. One after the other, so that two who name at once do
     * not give names that look alike.
     *
     * @param own the name of the person who gets it; empty for somebody new
     */
    static void refuseAlike(Handle handle, String name, String own) {
        handle.execute("select pg_advisory_xact_lock(75)");
        handle.createQuery("select name from people.person where name <> :own order by name")
                .bind("own", own)
                .mapTo(String.class)
                .filter(known -> PersonName.alike(known, name))
                .findFirst()
                .ifPresent(known -> {
                    throw new Refused(
                            same(known, name)
                                    ? "there is somebody called " + known
                                            + " already (capitals do not count): choose another name; nothing was stored"
                                    : "there is somebody called " + known + " already, and " + name + TAKEN_FOR_IT);
                });
        former(handle).stream()
                .filter(had -> !had.person().equals(own) && PersonName.alike(had.name(), name))
                .findFirst()
                .ifPresent(had -> {
                    throw new Refused(
                            had.name() + " was the name of " + had.person() + " and stands under what they did"
                                    + (same(had.name(), name)
                                            ? ": choose another name; nothing was stored"
                                            : "; " + name + TAKEN_FOR_IT));
                });
    }

    private static final String TAKEN_FOR_IT =
            " is easily taken for it (capitals, accents, blanks, full stops and letters that look alike do not count):"
                    + " write the name out, or add a second name; nothing was stored";

    private static boolean same(String one, String other) {
        return one.toLowerCase(Locale.ROOT).equals(other.toLowerCase(Locale.ROOT));
    }
}
