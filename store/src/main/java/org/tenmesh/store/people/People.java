package org.tenmesh.store.people;

import java.security.SecureRandom;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.jdbi.v3.core.mapper.RowMapper;
import org.jdbi.v3.core.statement.UnableToExecuteStatementException;
import org.tenmesh.store.days.Days;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Json;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.server.Secrets;

/**
 * Who may sign in, and their sessions. Tokens are 256 random bits in URL-safe text; only their SHA-256 is stored. May be
 * used by several threads.
 *
 * <p>Changes of people go to the journal, with a digest of the password hash in place of the hash; sessions do not.
 */
public final class People {
    private static final Duration FAILURES_KEPT = Duration.ofDays(1);
    private static final Duration SEEN_AGAIN = Duration.ofMinutes(1);
    // By how much a clock that is set right while a session runs may step back.
    private static final Duration CLOCK_STEPS = Duration.ofMinutes(5);
    public static final RowMapper<Person> PERSON = (rs, ctx) -> new Person(
            rs.getString("name"), role(rs.getString("role")), rs.getString("password_hash"), rs.getBoolean("active"));

    private final Jdbi app;
    private final Journal journal;
    private final Clock clock;
    private final SecureRandom random;

    public People(Jdbi app, Journal journal, Clock clock, SecureRandom random) {
        this.app = app;
        this.journal = journal;
        this.clock = clock;
        this.random = random;
    }

    /**
     * Adds somebody.
     *
     * @param actor who adds
     * @throws Refused when the name cannot be one, is there already, or is easily taken for one that is there
     */
    public void add(Person person, String actor) {
        PersonName.wrong(person.name()).ifPresent(wrong -> {
            throw new Refused(wrong + " Nothing was stored");
        });
        try {
            app.useTransaction(handle -> {
                Renaming.refuseAlike(handle, person.name(), "");
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
        change(person, actor, Optional.empty());
    }

    /**
     * The same, with who issued the one-time link that allowed it, for the journal.
     *
     * @throws Refused when there is nobody of this name
     */
    public void change(Person person, String actor, Optional<String> linkIssuer) {
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
                            "password-sha256", passwordDigest(person),
                            "link-issued-by", linkIssuer.orElse("")));
        });
    }

    /**
     * Gives somebody another name. What they did and signed keeps the name of then; the name they had is kept with them and goes to
     * nobody else. Sessions go on.
     *
     * @throws Refused when there is nobody of this name, or the new one cannot be one, is or was somebody else's, or is easily taken
     *     for such a name
     */
    public void rename(String name, String newName, String actor) {
        app.useTransaction(handle -> Renaming.rename(
                handle,
                journal,
                clock.instant(),
                find(handle, name)
                        .orElseThrow(() -> new Refused("there is nobody called " + name + "; nothing was changed")),
                newName,
                actor));
    }

    /** Names that people had, the newest first. */
    public List<FormerName> formerNames() {
        return app.withHandle(Renaming::former);
    }

    /**
     * Asks that somebody who cannot sign in may do so: somebody else agrees by making them active. Nothing but the journal
     * keeps it.
     *
     * @throws Refused when there is nobody of this name, or they may sign in already
     */
    public void propose(String name, String actor) {
        app.useTransaction(handle -> {
            Person person = find(handle, name)
                    .filter(known -> !known.active())
                    .orElseThrow(() -> new Refused("there is nobody called " + name + " who may not sign in"));
            journal.write(
                    handle,
                    clock.instant(),
                    actor,
                    "person-proposed",
                    person.name(),
                    Json.object("role", person.role().word()));
        });
    }

    /**
     * Who asked last that this person may sign in: by adding them inactive, or later. Empty when the person may, and when
     * whatever was asked came to an end by a change.
     */
    public Optional<String> proposedBy(String name) {
        return app.withHandle(handle ->
                handle.createQuery("""
                        select e.actor from people.person p
                        cross join lateral (
                            select actor, what from journal.entry
                            where (subject = p.name
                                    or subject in (select f.name from people.former_name f where f.person = p.id))
                              and what in ('person-added', 'person-changed', 'person-proposed')
                            order by seq desc limit 1) e
                        where lower(p.name) = lower(:name) and not p.active and e.what <> 'person-changed'
                        """).bind("name", name).mapTo(String.class).findOne());
    }

    /** The person of this name, capitals not counting. */
    public Optional<Person> find(String name) {
        return app.withHandle(handle -> find(handle, name));
    }

    /** The person who has this name or had it, capitals not counting. */
    public Optional<Person> called(String name) {
        return find(name)
                .or(() -> formerNames().stream()
                        .filter(had -> had.name().equalsIgnoreCase(name))
                        .findFirst()
                        .flatMap(had -> find(had.person())));
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
        return startSession(name, lasts, Optional.empty());
    }

    /**
     * Starts a session and returns its token.
     *
     * @param linkIssuer who issued the one-time link it begins with; empty when it begins with a password
     * @throws Refused when there is nobody active of this name
     */
    public String startSession(String name, Duration lasts, Optional<String> linkIssuer) {
        return start(name, lasts, linkIssuer, Optional.empty());
    }

    /**
     * Starts a session that began with a badge and returns its token.
     *
     * @param locksAfter after how long without use it ends
     * @throws Refused when there is nobody active of this name
     */
    public String startBadgeSession(String name, Duration lasts, Duration locksAfter) {
        return start(name, lasts, Optional.empty(), Optional.of(locksAfter));
    }

    private String start(String name, Duration lasts, Optional<String> linkIssuer, Optional<Duration> locksAfter) {
        String token = Secrets.token(random);
        Instant now = clock.instant();
        app.useTransaction(handle -> {
            Person person = active(handle, name);
            handle.createUpdate("delete from people.session where expires_at <= :now")
                    .bind("now", utc(now))
                    .execute();
            handle.createUpdate("""
                            insert into people.session
                                (token_sha256, person, started_at, expires_at, seen_at, link_issuer, locks_after_s)
                            values (:token, :person, :now, :expires, :now, :issuer, :locks)
                            """)
                    .bind("token", Journal.sha256(token))
                    .bind("person", person.name())
                    .bind("now", utc(now))
                    .bind("expires", utc(now.plus(lasts)))
                    .bind("issuer", linkIssuer.orElse(""))
                    .bind(
                            "locks",
                            locksAfter.map(after -> (int) after.toSeconds()).orElse(null))
                    .execute();
        });
        return token;
    }

    /**
     * Whose session this is, when it is running, was used within the idle time, and the person is active. A session
     * that began or was used in the future, by a clock that was wrong then, is none: how long it lies unused is not known.
     *
     * @param idle how long it may lie unused
     * @param used whether this asking is a use
     */
    public Optional<Session> session(String token, Duration idle, boolean used) {
        Instant now = clock.instant();
        String digest = Journal.sha256(token);
        return app.withHandle(handle -> {
            Optional<Seen> found = handle.createQuery("""
                            select p.name, p.role, p.password_hash, p.active, s.started_at, s.expires_at, s.link_issuer, s.locks_after_s,
                                   s.seen_at
                            from people.session s
                            join people.person p on p.name = s.person
                            where s.token_sha256 = :token and s.expires_at > :now and s.seen_at > :since
                              and (s.locks_after_s is null or s.seen_at > :now - make_interval(secs => s.locks_after_s))
                              and s.started_at <= :soon and s.seen_at <= :soon and p.active
                            """)
                    .bind("token", digest)
                    .bind("now", utc(now))
                    .bind("since", utc(now.minus(idle)))
                    .bind("soon", utc(now.plus(CLOCK_STEPS)))
                    .map((rs, ctx) -> new Seen(
                            new Session(
                                    PERSON.map(rs, ctx),
                                    rs.getObject("started_at", OffsetDateTime.class)
                                            .toInstant(),
                                    rs.getObject("expires_at", OffsetDateTime.class)
                                            .toInstant(),
                                    Optional.of(rs.getString("link_issuer")).filter(issuer -> !issuer.isEmpty()),
                                    Optional.ofNullable(rs.getObject("locks_after_s", Integer.class))
                                            .map(Duration::ofSeconds)),
                            rs.getObject("seen_at", OffsetDateTime.class).toInstant()))
                    .findOne();
            if (used
                    && found.filter(seen ->
                                    seen.at().isAfter(now) || seen.at().isBefore(now.minus(again(seen.session()))))
                            .isPresent()) {
                handle.createUpdate("update people.session set seen_at = :now where token_sha256 = :token")
                        .bind("now", utc(now))
                        .bind("token", digest)
                        .execute();
            }
            return found.map(Seen::session);
        });
    }

    /** A session and when it was used last, as far as that is written down. */
    private record Seen(Session session, Instant at) {}

    /** Once a minute is enough to tell a used session from an idle one; a badge's tells it to a tenth of its time. */
    private static Duration again(Session session) {
        return session.locksAfter()
                .map(after -> after.dividedBy(10))
                .filter(tenth -> tenth.compareTo(SEEN_AGAIN) < 0)
                .orElse(SEEN_AGAIN);
    }

    /** Ends a session; nothing happens when there is none. */
    public void endSession(String token) {
        app.useHandle(handle -> handle.createUpdate("delete from people.session where token_sha256 = :token")
                .bind("token", Journal.sha256(token))
                .execute());
    }

    /**
     * Makes a token that signs this person in once, within the time it lasts. It goes to the journal with its issuer.
     *
     * @throws Refused when there is nobody active of this name
     */
    public String oneTimeToken(String name, Duration lasts, String issuer) {
        String token = Secrets.token(random);
        Instant now = clock.instant();
        app.useTransaction(handle -> {
            Person person = active(handle, name);
            handle.createUpdate("delete from people.one_time_token where expires_at <= :now")
                    .bind("now", utc(now))
                    .execute();
            handle.createUpdate("""
                            insert into people.one_time_token (token_sha256, person, expires_at, issuer)
                            values (:token, :person, :expires, :issuer)
                            """)
                    .bind("token", Journal.sha256(token))
                    .bind("person", person.name())
                    .bind("expires", utc(now.plus(lasts)))
                    .bind("issuer", issuer)
                    .execute();
            journal.write(
                    handle,
                    now,
                    issuer,
                    "sign-in-link-issued",
                    person.name(),
                    Json.object(
                            "role",
                            person.role().word(),
                            "expires",
                            utc(now.plus(lasts)).toString()));
        });
        return token;
    }

    /** Uses up a one-time token: the person, the first time and in time; empty ever after. Its use is in the journal. */
    public Optional<Redeemed> redeem(String oneTimeToken) {
        Instant now = clock.instant();
        return app.inTransaction(handle -> {
            Optional<Redeemed> redeemed = handle.createQuery("""
                            with used as (
                                delete from people.one_time_token
                                where token_sha256 = :token
                                returning person, expires_at, issuer)
                            select p.*, u.issuer from used u
                            join people.person p on p.name = u.person
                            where u.expires_at > :now and p.active
                            """)
                    .bind("token", Journal.sha256(oneTimeToken))
                    .bind("now", utc(now))
                    .map((rs, ctx) -> new Redeemed(PERSON.map(rs, ctx), rs.getString("issuer")))
                    .findOne();
            redeemed.ifPresent(used -> journal.write(
                    handle,
                    now,
                    used.person().name(),
                    "sign-in-link-used",
                    used.person().name(),
                    Json.object("issued-by", used.issuer())));
            return redeemed;
        });
    }

    /**
     * Counts a wrong password under this name, whether there is such a person or not.
     *
     * @param source where it came from: an address, or a running session
     */
    public void signInFailed(String name, String source) {
        Instant now = clock.instant();
        app.useTransaction(handle -> {
            handle.createUpdate("delete from people.failed_sign_in where at < :before or at > :now")
                    .bind("before", utc(now.minus(FAILURES_KEPT)))
                    .bind("now", utc(now.plus(CLOCK_STEPS)))
                    .execute();
            handle.createUpdate("insert into people.failed_sign_in (name, source, at) values (:name, :source, :at)")
                    .bind("name", tried(name))
                    .bind("source", tried(source))
                    .bind("at", utc(now))
                    .execute();
        });
    }

    /** Wrong passwords under this name from this source within the time just past (a day at most), since the last right one. */
    public int failedSignIns(String name, String source, Duration within) {
        return failures("name = :name and source = :source", name, source, within);
    }

    /** Wrong passwords under any name from this source within the time just past (a day at most). */
    public int failedSignInsFrom(String source, Duration within) {
        return failures("source = :source", "", source, within);
    }

    private int failures(String which, String name, String source, Duration within) {
        Instant now = clock.instant();
        return app.withHandle(handle -> handle.createQuery(
                        "select count(*) from people.failed_sign_in where " + which + " and at > :since and at <= :now")
                .bindMap(Map.of(
                        "name", tried(name),
                        "source", tried(source),
                        "since", utc(now.minus(within)),
                        "now", utc(now.plus(CLOCK_STEPS))))
                .mapTo(Integer.class)
                .one());
    }

    /** Forgets the wrong passwords under this name from this source. */
    public void signInSucceeded(String name, String source) {
        app.useHandle(handle -> handle.createUpdate(
                        "delete from people.failed_sign_in where name = :name and source = :source")
                .bind("name", tried(name))
                .bind("source", tried(source))
                .execute());
    }

    /** Says in the journal which password hash was set; the hash is salted, so its digest tells nothing of the password. */
    public static String passwordDigest(Person person) {
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
