package org.tenmesh.store.people;

import java.security.SecureRandom;
import java.time.Clock;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Json;
import org.tenmesh.store.rows.Refused;

/**
 * Badges of bench accounts. A badge's code is 60 random bits; only its SHA-256 is stored. Whoever else may sign in does so with a password: a
 * PIN is too short for what they may see. May be used by several threads.
 */
public final class Badges {
    /** How a badge's code begins, so that a scan of one is known. */
    public static final String PREFIX = "BDG-";

    /** Crockford's base 32: no letter that is taken for another. */
    private static final String LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

    private static final int LENGTH = 12;

    private final Jdbi app;
    private final Journal journal;
    private final Clock clock;
    private final SecureRandom random;

    public Badges(Jdbi app, Journal journal, Clock clock, SecureRandom random) {
        this.app = app;
        this.journal = journal;
        this.clock = clock;
        this.random = random;
    }

    /**
     * Issues a badge and withdraws the one the person had.
     *
     * @return its code, which is kept nowhere
     * @throws Refused when there is nobody active of this name who works at the bench
     */
    public String issue(String name, String actor) {
        StringBuilder code = new StringBuilder(PREFIX);
        for (int i = 0; i < LENGTH; i++) {
            code.append(LETTERS.charAt(random.nextInt(LETTERS.length())));
        }
        Instant now = clock.instant();
        app.useTransaction(handle -> {
            Person person = handle.createQuery("select * from people.person where lower(name) = lower(:name)")
                    .bind("name", name)
                    .map(People.PERSON)
                    .findOne()
                    .filter(one -> one.active() && one.role() == PersonRole.BENCH)
                    .orElseThrow(() -> new Refused("there is nobody called " + name
                            + " who works at the bench; a badge is for bench accounts alone"));
            withdraw(handle, person.name(), actor, now);
            handle.createUpdate("""
                            insert into people.badge (code_sha256, person, issued_by, issued_at)
                            values (:code, :person, :actor, :now)
                            """)
                    .bind("code", Journal.sha256(code.toString()))
                    .bind("person", person.name())
                    .bind("actor", actor)
                    .bind("now", utc(now))
                    .execute();
            journal.write(
                    handle,
                    now,
                    actor,
                    "badge-issued",
                    person.name(),
                    Json.object("code-sha256", Journal.sha256(code.toString())));
        });
        return code.toString();
    }

    /** The badge with this code, when it is not withdrawn and its holder is active and works at the bench. */
    public Optional<Badge> find(String code) {
        return app.withHandle(handle -> handle.createQuery("""
                        select p.*, b.pin_hash, b.issued_at from people.badge b join people.person p on p.name = b.person
                        where b.code_sha256 = :code and b.withdrawn_at is null and p.active and p.role = 'bench'
                        """)
                .bind("code", Journal.sha256(code))
                .map((rs, ctx) -> new Badge(
                        People.PERSON.map(rs, ctx),
                        rs.getString("pin_hash"),
                        rs.getObject("issued_at", OffsetDateTime.class).toInstant()))
                .findOne());
    }

    /**
     * Keeps the PIN that its holder chose, once.
     *
     * @throws Refused when the badge has a PIN, or is withdrawn
     */
    public void choosePin(String code, String pinHash) {
        app.useTransaction(handle -> {
            Optional<String> person = handle.createQuery("""
                            update people.badge set pin_hash = :pin
                            where code_sha256 = :code and withdrawn_at is null and pin_hash = '' returning person
                            """)
                    .bind("pin", pinHash)
                    .bind("code", Journal.sha256(code))
                    .mapTo(String.class)
                    .findOne();
            String holder = person.orElseThrow(
                    () -> new Refused("this badge has a PIN already or was withdrawn; nothing was changed"));
            journal.write(
                    handle,
                    clock.instant(),
                    holder,
                    "badge-pin-chosen",
                    holder,
                    Json.object(
                            "code-sha256", Journal.sha256(code),
                            "pin-sha256", Journal.sha256(pinHash)));
        });
    }

    /** Withdraws the badge of a person and ends the sessions that began with it; whether there was one. */
    public boolean withdraw(String name, String actor) {
        Instant now = clock.instant();
        return app.inTransaction(handle -> withdraw(handle, name, actor, now));
    }

    private boolean withdraw(Handle handle, String name, String actor, Instant now) {
        Optional<String> code = handle.createQuery("""
                        update people.badge set withdrawn_at = :now, withdrawn_by = :actor
                        where person = :name and withdrawn_at is null returning code_sha256
                        """)
                .bind("now", utc(now))
                .bind("actor", actor)
                .bind("name", name)
                .mapTo(String.class)
                .findOne();
        code.ifPresent(digest -> {
            handle.createUpdate("delete from people.session where person = :name and locks_after_s is not null")
                    .bind("name", name)
                    .execute();
            journal.write(handle, now, actor, "badge-withdrawn", name, Json.object("code-sha256", digest));
        });
        return code.isPresent();
    }

    /** Since when each person has the badge that is in use. */
    public Map<String, Instant> inUse() {
        Map<String, Instant> issued = new TreeMap<>();
        app.useHandle(handle -> handle.createQuery(
                        "select person, issued_at from people.badge where withdrawn_at is null")
                .map((rs, ctx) -> Map.entry(
                        rs.getString("person"),
                        rs.getObject("issued_at", OffsetDateTime.class).toInstant()))
                .forEach(one -> issued.put(one.getKey(), one.getValue())));
        return issued;
    }

    private static OffsetDateTime utc(Instant at) {
        return at.atOffset(ZoneOffset.UTC);
    }
}
