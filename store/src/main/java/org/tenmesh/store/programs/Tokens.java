package org.tenmesh.store.programs;

import java.security.SecureRandom;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.Arrays;
import java.util.Base64;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.jdbi.v3.core.Jdbi;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Json;
import org.tenmesh.store.rows.Refused;

/** Tokens of other programs. A token is 256 random bits; only its SHA-256 is stored. May be used by several threads. */
public final class Tokens {
    /** How every token begins, so that one in a log or a file is known for what it is. */
    public static final String PREFIX = "tmt-";

    /** The longest time for which a token is made: one that nobody renews is one that nobody remembers. */
    public static final Duration LONGEST = Duration.ofDays(400);

    private static final int LONGEST_REASON = 500;
    private static final String ALL = """
            select t.*, w.reason, w.actor as withdrawn_by, w.at as withdrawn_at, u.at as used_at
            from programs.token t
            left join programs.token_withdrawn w on w.token = t.id
            left join programs.token_used u on u.token = t.id
            """;

    private final Jdbi app;
    private final Journal journal;
    private final Clock clock;
    private final SecureRandom random;

    public Tokens(Jdbi app, Journal journal, Clock clock, SecureRandom random) {
        this.app = app;
        this.journal = journal;
        this.clock = clock;
        this.random = random;
    }

    /**
     * Makes a token for the register of the newest day.
     *
     * @param expiresAt at most {@link #LONGEST} from now
     * @return the token itself, which is kept nowhere
     * @throws Refused where the name, the scopes or the time do not fit, or there is no day yet
     */
    public String make(String program, Set<Scope> scopes, boolean ownOnly, Instant expiresAt, String actor) {
        Instant now = clock.instant().truncatedTo(ChronoUnit.MICROS);
        Instant ends = expiresAt.truncatedTo(ChronoUnit.MICROS);
        if (!program.matches("[\\p{L}\\p{N}][\\p{L}\\p{N} ._-]{0,79}")) {
            throw new Refused(
                    "A program has a name of 1 to 80 letters, digits, blanks, dots or dashes. Nothing was done.");
        }
        if (scopes.isEmpty()) {
            throw new Refused("A token without a scope opens nothing: choose at least one. Nothing was done.");
        }
        if (!ends.isAfter(now) || ends.isAfter(now.plus(LONGEST))) {
            throw new Refused("A token ends after now and within " + LONGEST.toDays() + " days. Nothing was done.");
        }
        byte[] secret = new byte[32];
        random.nextBytes(secret);
        String token = PREFIX + Base64.getUrlEncoder().withoutPadding().encodeToString(secret);
        app.useTransaction(handle -> {
            String register = handle.createQuery(
                            "select register from intake.day order by on_date desc, id desc limit 1")
                    .mapTo(String.class)
                    .findOne()
                    .orElseThrow(() -> new Refused(
                            "There is no laboratory day yet, so it is not known whose submissions the token would see."
                                    + " Take a day first. Nothing was done."));
            handle.createUpdate("""
                            insert into programs.token (token_sha256, program, register, scopes, own_only, expires_at, made_by, made_at)
                            values (:sha256, :program, :register, :scopes, :own, :ends, :actor, :now)
                            """)
                    .bind("sha256", Journal.sha256(token))
                    .bind("program", program)
                    .bind("register", register)
                    .bind("scopes", ProgramToken.words(scopes))
                    .bind("own", ownOnly)
                    .bind("ends", utc(ends))
                    .bind("actor", actor)
                    .bind("now", utc(now))
                    .execute();
            journal.write(
                    handle,
                    now,
                    actor,
                    "token-made",
                    program,
                    Json.object(
                            "token-sha256", Journal.sha256(token),
                            "register", register,
                            "scopes", ProgramToken.words(scopes),
                            "sees", ownOnly ? "own" : "register",
                            "expires-at", ends.toString(),
                            "made-at", now.toString()));
        });
        return token;
    }

    /** Every token that was ever made, the newest first. */
    public List<ProgramToken> all() {
        return app.withHandle(handle -> handle.createQuery(ALL + " order by t.id desc")
                .map((rs, ctx) -> token(rs))
                .list());
    }

    /**
     * The token that was shown, while it opens anything; notes that it was used.
     *
     * @param shown as it came, of whatever length
     */
    public Optional<ProgramToken> find(String shown) {
        if (!shown.startsWith(PREFIX) || shown.length() > 100) {
            return Optional.empty();
        }
        Instant now = clock.instant();
        Optional<ProgramToken> found = app.withHandle(
                        handle -> handle.createQuery(ALL + " where t.token_sha256 = :sha256")
                                .bind("sha256", Journal.sha256(shown))
                                .map((rs, ctx) -> token(rs))
                                .findOne())
                .filter(token -> token.opens(now));
        // A minute is near enough, and spares a write for each request.
        found.filter(token -> token.lastUsedAt()
                        .filter(at -> at.plus(1, ChronoUnit.MINUTES).isAfter(now) && !at.isAfter(now))
                        .isEmpty())
                .ifPresent(token -> app.useHandle(handle -> handle.createUpdate("""
                                insert into programs.token_used (token, at) values (:id, :now)
                                on conflict (token) do update set at = excluded.at
                                """)
                        .bind("id", token.id())
                        .bind("now", utc(now))
                        .execute()));
        return found;
    }

    /**
     * Withdraws a token: from the next request on it opens nothing.
     *
     * @throws Refused without a reason, or when it does not exist or was withdrawn before
     */
    public void withdraw(int id, String reason, String actor) {
        Instant now = clock.instant().truncatedTo(ChronoUnit.MICROS);
        if (reason.isBlank() || reason.length() > LONGEST_REASON) {
            throw new Refused("This needs a reason of 1 to " + LONGEST_REASON + " characters. Nothing was done.");
        }
        app.useTransaction(handle -> {
            record Known(String program, String sha256) {}
            Known known = handle.createQuery("select program, token_sha256 from programs.token where id = :id")
                    .bind("id", id)
                    .map((rs, ctx) -> new Known(rs.getString(1), rs.getString(2)))
                    .findOne()
                    .orElseThrow(() -> new Refused("There is no token " + id + ". Nothing was done."));
            int done = handle.createUpdate("""
                            insert into programs.token_withdrawn (token, reason, actor, at) values (:id, :reason, :actor, :now)
                            on conflict (token) do nothing
                            """)
                    .bind("id", id)
                    .bind("reason", reason)
                    .bind("actor", actor)
                    .bind("now", utc(now))
                    .execute();
            if (done == 0) {
                throw new Refused(
                        "Token " + id + " of " + known.program() + " was withdrawn before. Nothing was done.");
            }
            journal.write(
                    handle,
                    now,
                    actor,
                    "token-withdrawn",
                    known.program(),
                    Json.object("token-sha256", known.sha256(), "reason", reason, "withdrawn-at", now.toString()));
        });
    }

    private static ProgramToken token(ResultSet rs) throws SQLException {
        Set<Scope> scopes = EnumSet.noneOf(Scope.class);
        Arrays.stream(rs.getString("scopes").split(" ", -1))
                .forEach(word -> Scope.of(word).ifPresent(scopes::add));
        OffsetDateTime withdrawnAt = rs.getObject("withdrawn_at", OffsetDateTime.class);
        return new ProgramToken(
                rs.getInt("id"),
                rs.getString("program"),
                rs.getString("register"),
                scopes,
                rs.getBoolean("own_only"),
                rs.getObject("expires_at", OffsetDateTime.class).toInstant(),
                rs.getString("made_by"),
                rs.getObject("made_at", OffsetDateTime.class).toInstant(),
                withdrawnAt == null
                        ? Optional.empty()
                        : Optional.of(new ProgramToken.Withdrawn(
                                rs.getString("reason"), rs.getString("withdrawn_by"), withdrawnAt.toInstant())),
                Optional.ofNullable(rs.getObject("used_at", OffsetDateTime.class))
                        .map(OffsetDateTime::toInstant));
    }

    private static OffsetDateTime utc(Instant at) {
        return at.atOffset(ZoneOffset.UTC);
    }
}
