package org.tenmesh.store;

import java.security.SecureRandom;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.jdbi.v3.core.mapper.RowMapper;
import org.jdbi.v3.core.statement.UnableToExecuteStatementException;

/**
 * Who may sign in, and their sessions. Tokens are 256 random bits in URL-safe text; only their SHA-256 is stored. May be
 * used by several threads.
 *
 * <p>Changes of people go to the journal, with a digest of the password hash in place of the hash; sessions do not.
 */
public final class People {
    private static final Duration FAILURES_KEPT = Duration.ofDays(1);
    static final RowMapper<Person> PERSON = (rs, ctx) -> new Person(
            rs.getString("name"), role(rs.getString("role")), rs.getString("password_hash"), rs.getBoolean("active"));

    private final Jdbi app;
    private final Journal journal;
    private final Clock clock;
    private final SecureRandom random;

    People(Jdbi app, Journal journal, Clock clock, SecureRandom random) {
        this.app = app;
        this.journal = journal;
        this.clock = clock;
        this.random = random;
    }

    /**
     * Adds somebody.
     *
     * @param actor who adds
     * @throws Refused when the name is there already
     */
    public void add(Person person, String actor) {
        try {
            app.useTransaction(handle -> {
                handle.createUpdate("""
                                insert into people.person (name, role, password_hash, active)
                                values (:name, :role, :hash, :active)
                                """)
                        .bind("name", person.name())
                        .bind("role", person.role().word())
                        .bind("hash", person.passwordHash())
                        .bind("active", person.active())
                        .execute();
                journal.write(
                        handle,
                        clock.instant(),
                        actor,
                        "person-added",
                        person.name(),
                        Json.object(
                                "role", person.role().word(),
                                "active", person.active(),
                                "password-sha256", passwordDigest(person)));
            });
        } catch (UnableToExecuteStatementException e) {
            if (Days.broke(e, "person_pkey") || Days.broke(e, "person_one_name")) {
                throw new Refused("there is somebody called " + person.name()
                        + " already (capitals do not count): choose another name; nothing was stored");
            }
            throw e;
        }
    }

    /**
     * Changes role, password hash or whether the person is active, and ends their sessions and one-time tokens.
     *
     * @throws Refused when there is nobody of this name
     */
    public void change(Person person, String actor) {
        app.useTransaction(handle -> {
            Person before = find(handle, person.name())
                    .orElseThrow(
                            () -> new Refused("there is nobody called " + person.name() + "; nothing was changed"));
            handle.createUpdate("""
                            update people.person set role = :role, password_hash = :hash, active = :active
                            where name = :name
                            """)
                    .bind("name", before.name())
                    .bind("role", person.role().word())
                    .bind("hash", person.passwordHash())
                    .bind("active", person.active())
                    .execute();
            for (String table : List.of("people.session", "people.one_time_token")) {
                handle.createUpdate("delete from " + table + " where person = :name")
                        .bind("name", before.name())
                        .execute();
            }
            journal.write(
                    handle,
                    clock.instant(),
                    actor,
                    "person-changed",
                    before.name(),
                    Json.object(
                            "role-before", before.role().word(),
                            "role", person.role().word(),
                            "active-before", before.active(),
                            "active", person.active(),
                            "password-changed", !before.passwordHash().equals(person.passwordHash()),
                            "password-sha256", passwordDigest(person)));
        });
    }

    /** The person of this name, capitals not counting. */
    public Optional<Person> find(String name) {
        return app.withHandle(handle -> find(handle, name));
    }

    /** Everybody, by name. */
    public List<Person> all() {
        return app.withHandle(handle -> handle.createQuery("select * from people.person order by lower(name)")
                .map(PERSON)
                .list());
    }

    /**
     * Starts a session and returns its token.
     *
     * @throws Refused when there is nobody active of this name
     */
    public String startSession(String name, Duration lasts) {
        String token = Secrets.token(random);
        Instant now = clock.instant();
        app.useTransaction(handle -> {
            Person person = active(handle, name);
            handle.createUpdate("delete from people.session where expires_at <= :now")
                    .bind("now", utc(now))
                    .execute();
            handle.createUpdate("""
                            insert into people.session (token_sha256, person, started_at, expires_at)
                            values (:token, :person, :now, :expires)
                            """)
                    .bind("token", Journal.sha256(token))
                    .bind("person", person.name())
                    .bind("now", utc(now))
                    .bind("expires", utc(now.plus(lasts)))
                    .execute();
        });
        return token;
    }

    /** Whose session this is, when it is running and the person is active. */
    public Optional<Session> session(String token) {
        return app.withHandle(handle -> handle.createQuery("""
                        select p.name, p.role, p.password_hash, p.active, s.started_at, s.expires_at
                        from people.session s
                        join people.person p on p.name = s.person
                        where s.token_sha256 = :token and s.expires_at > :now and p.active
                        """)
                .bind("token", Journal.sha256(token))
                .bind("now", utc(clock.instant()))
                .map((rs, ctx) -> new Session(
                        PERSON.map(rs, ctx),
                        rs.getObject("started_at", OffsetDateTime.class).toInstant(),
                        rs.getObject("expires_at", OffsetDateTime.class).toInstant()))
                .findOne());
    }

    /** Ends a session; nothing happens when there is none. */
    public void endSession(String token) {
        app.useHandle(handle -> handle.createUpdate("delete from people.session where token_sha256 = :token")
                .bind("token", Journal.sha256(token))
                .execute());
    }

    /**
     * Makes a token that signs this person in once, within the time it lasts.
     *
     * @throws Refused when there is nobody active of this name
     */
    public String oneTimeToken(String name, Duration lasts) {
        String token = Secrets.token(random);
        Instant now = clock.instant();
        app.useTransaction(handle -> {
            Person person = active(handle, name);
            handle.createUpdate("delete from people.one_time_token where expires_at <= :now")
                    .bind("now", utc(now))
                    .execute();
            handle.createUpdate("""
                            insert into people.one_time_token (token_sha256, person, expires_at)
                            values (:token, :person, :expires)
                            """)
                    .bind("token", Journal.sha256(token))
                    .bind("person", person.name())
                    .bind("expires", utc(now.plus(lasts)))
                    .execute();
        });
        return token;
    }

    /** Uses up a one-time token: the person, the first time and in time; empty ever after. */
    public Optional<Person> redeem(String oneTimeToken) {
        return app.inTransaction(handle -> handle.createQuery("""
                        with used as (
                            delete from people.one_time_token
                            where token_sha256 = :token
                            returning person, expires_at)
                        select p.* from used u
                        join people.person p on p.name = u.person
                        where u.expires_at > :now and p.active
                        """)
                .bind("token", Journal.sha256(oneTimeToken))
                .bind("now", utc(clock.instant()))
                .map(PERSON)
                .findOne());
    }

    /** Counts a failed sign-in under this name, whether there is such a person or not. */
    public void signInFailed(String name) {
        Instant now = clock.instant();
        app.useTransaction(handle -> {
            handle.createUpdate("delete from people.failed_sign_in where at < :before")
                    .bind("before", utc(now.minus(FAILURES_KEPT)))
                    .execute();
            handle.createUpdate("insert into people.failed_sign_in (name, at) values (:name, :at)")
                    .bind("name", tried(name))
                    .bind("at", utc(now))
                    .execute();
        });
    }

    /** Failed sign-ins under this name within the time just past (a day at most), since the last that succeeded. */
    public int failedSignIns(String name, Duration within) {
        return app.withHandle(handle -> handle.createQuery(
                        "select count(*) from people.failed_sign_in where name = :name and at > :since")
                .bind("name", tried(name))
                .bind("since", utc(clock.instant().minus(within)))
                .mapTo(Integer.class)
                .one());
    }

    /** Forgets the failed sign-ins under this name. */
    public void signInSucceeded(String name) {
        app.useHandle(handle -> handle.createUpdate("delete from people.failed_sign_in where name = :name")
                .bind("name", tried(name))
                .execute());
    }

    /** Says in the journal which password hash was set; the hash is salted, so its digest tells nothing of the password. */
    static String passwordDigest(Person person) {
        return Journal.sha256(person.passwordHash());
    }

    private static Optional<Person> find(Handle handle, String name) {
        return handle.createQuery("select * from people.person where lower(name) = lower(:name)")
                .bind("name", name)
                .map(PERSON)
                .findOne();
    }

    private static Person active(Handle handle, String name) {
        return find(handle, name)
                .filter(Person::active)
                .orElseThrow(() -> new Refused("there is nobody called " + name + " who may sign in"));
    }

    // Whatever was typed is cut to a bounded, comparable text: it may be anything.
    private static String tried(String name) {
        String lower = name.strip().toLowerCase(Locale.ROOT).replace("\0", "");
        return lower.substring(0, Math.min(80, lower.length()));
    }

    private static OffsetDateTime utc(Instant at) {
        return at.atOffset(ZoneOffset.UTC);
    }

    private static PersonRole role(String word) {
        return Arrays.stream(PersonRole.values())
                .filter(role -> role.word().equals(word))
                .findFirst()
                .orElseThrow();
    }
}
