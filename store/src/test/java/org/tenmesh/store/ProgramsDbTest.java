package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CompletableFuture;
import java.util.stream.IntStream;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.store.programs.Change;
import org.tenmesh.store.programs.ProgramToken;
import org.tenmesh.store.programs.Registrations;
import org.tenmesh.store.programs.Scope;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.sheets.KeptSheet;

final class ProgramsDbTest {
    private static final LocalDate TODAY = LocalDate.of(2026, 11, 25);
    private static final Set<Scope> ALL = Set.of(Scope.REGISTER, Scope.RESULTS, Scope.FEED);

    /** A clock that the test moves. */
    private static final class Moved extends Clock {
        private volatile Instant now = Instant.parse("2026-11-25T08:00:00.123456Z");

        @Override
        public ZoneId getZone() {
            return ZoneOffset.UTC;
        }

        @Override
        public Clock withZone(ZoneId zone) {
            return this;
        }

        @Override
        public Instant instant() {
            return now;
        }
    }

    private static final Moved CLOCK = new Moved();

    @TempDir
    @SuppressWarnings("NullAway.Init")
    private static Path folder;

    @SuppressWarnings("NullAway.Init")
    private static Store store;

    @BeforeAll
    static void open() {
        store = OpenStore.open(folder, CLOCK);
        assertThatThrownBy(() -> token("too early", ALL, false))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("no laboratory day yet");
        store.take(InventedDay.of(12), OpenStore.freshDigest(), "M. Whelan");
    }

    @AfterAll
    static void close() {
        store.close();
    }

    private static String token(String program, Set<Scope> scopes, boolean ownOnly) {
        return store.tokens().make(program, scopes, ownOnly, CLOCK.now.plus(Duration.ofDays(30)), "M. Whelan");
    }

    private static ProgramToken known(String program, Set<Scope> scopes, boolean ownOnly) {
        return store.tokens().find(token(program, scopes, ownOnly)).orElseThrow();
    }

    private static Registrations.Outcome register(ProgramToken token, String key, String body) {
        KeptSheet.Said said =
                new KeptSheet.Said("Tern Bay (invented)", Optional.empty(), Optional.empty(), Optional.empty());
        return store.registrations()
                .register(
                        token, key, key + ".json", body.getBytes(StandardCharsets.UTF_8), said, CLOCK.instant(), TODAY);
    }

    private static String kept(Registrations.Outcome outcome) {
        assertThat(outcome).isInstanceOf(Registrations.Kept.class);
        return ((Registrations.Kept) outcome).submission();
    }

    @Test
    void aTokenOpensUntilItEndsOrIsWithdrawnAndIsKeptAsItsDigestAlone() throws SQLException {
        String secret = token("desk", ALL, false);
        assertThat(secret).startsWith("tmt-").hasSize(47);
        ProgramToken token = store.tokens().find(secret).orElseThrow();
        assertThat(token.scopes()).isEqualTo(ALL);
        assertThat(store.tokens().find(secret + "x")).isEmpty();
        assertThat(store.tokens().find("tmt-" + "x".repeat(100_000))).isEmpty();
        assertThat(store.tokens().all().get(0).lastUsedAt()).isPresent();
        try (Connection owner = store.connections().owner();
                Statement statement = owner.createStatement();
                var found = statement.executeQuery(
                        "select count(*) from programs.token t where t::text like '%" + secret.substring(4) + "%'")) {
            found.next();
            assertThat(found.getInt(1)).isZero();
        }
        assertThat(store.journal(1).get(0).what()).isEqualTo("token-made");
        assertThat(store.journal(1).get(0).detail()).doesNotContain(secret);
        assertThatThrownBy(() -> store.tokens().withdraw(token.id(), " ", "M. Whelan"))
                .isInstanceOf(Refused.class);
        store.tokens().withdraw(token.id(), "laptop lost", "T. Byrne");
        assertThat(store.tokens().find(secret)).isEmpty();
        assertThatThrownBy(() -> store.tokens().withdraw(token.id(), "again", "T. Byrne"))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("before");
        String other = token("desk", ALL, false);
        Instant was = CLOCK.now;
        try {
            CLOCK.now = was.plus(Duration.ofDays(31));
            assertThat(store.tokens().find(other)).isEmpty();
        } finally {
            CLOCK.now = was;
        }
        assertThat(store.tokens().find(other)).isPresent();
        assertThatThrownBy(() -> store.tokens().make("x", ALL, false, was.plus(Duration.ofDays(401)), "M. Whelan"))
                .isInstanceOf(Refused.class);
        assertThatThrownBy(() -> token("desk", Set.of(), false)).isInstanceOf(Refused.class);
        assertThatThrownBy(() -> token("<b>", ALL, false)).isInstanceOf(Refused.class);
    }

    @Test
    void theSameKeyWithTheSameBodyGivesTheSameSubmissionAndWithAnotherNone() {
        ProgramToken token = known("registrar", ALL, false);
        String submission = kept(register(token, "k1", "{\"a\":1}"));
        assertThat(register(known("registrar", ALL, false), "k1", "{\"a\":1}"))
                .as("with a token that was renewed")
                .isEqualTo(new Registrations.Kept(submission, CLOCK.now, true));
        byte[] body = "{\"a\":1}".getBytes(StandardCharsets.UTF_8);
        assertThat(store.registrations().before(token, "k1", body))
                .contains(new Registrations.Kept(submission, CLOCK.now, true));
        assertThat(store.registrations().before(token, "k0", body)).isEmpty();
        assertThat(register(token, "k1", "{\"a\":2}")).isEqualTo(new Registrations.OtherBody(submission));
        assertThat(kept(register(known("another", ALL, false), "k1", "{\"a\":3}")))
                .as("keys are each program's own")
                .isNotEqualTo(submission);
        assertThatThrownBy(() -> register(token, "k2", "{\"a\":1}"))
                .isInstanceOf(Refused.class)
                .hasMessageContaining(submission);
        assertThat(store.sheets().waiting())
                .filteredOn(one -> one.submission().equals(submission))
                .singleElement()
                .satisfies(one -> assertThat(one.actor()).isEqualTo("program registrar"));
        assertThat(store.registrations().isOwn(token, submission)).isTrue();
        assertThat(store.registrations().isOwn(known("another", ALL, false), submission))
                .isFalse();
    }

    @Test
    void eightAtOnceWithOneKeyAreOneSubmission() {
        ProgramToken token = known("eight", ALL, false);
        List<CompletableFuture<Registrations.Outcome>> all = IntStream.range(0, 8)
                .mapToObj(i -> CompletableFuture.supplyAsync(() -> register(token, "at-once", "{\"eight\":1}")))
                .toList();
        assertThat(all.stream().map(one -> kept(one.join())).distinct()).hasSize(1);
        assertThat(all.stream().filter(one -> !((Registrations.Kept) one.join()).before()))
                .hasSize(1);
    }

    @Test
    void changesComeOnceInOrderAndOnlyToWhomTheyConcern() {
        ProgramToken whole = known("follower", ALL, false);
        ProgramToken own = known("own-follower", ALL, true);
        long start = store.newestEntry();
        String theirs = kept(register(whole, "f1", "{\"f\":1}"));
        String ours = kept(register(own, "f1", "{\"f\":2}"));
        store.sheets().leave(ours, "sent twice", "M. Whelan", CLOCK.instant());
        List<Change> all = store.changes().after(whole, start, 100);
        assertThat(all)
                .extracting(Change::what)
                .containsExactly("submission-taken", "submission-taken", "submission-left");
        assertThat(all).extracting(one -> one.submission().orElse("")).containsExactly(theirs, ours, ours);
        assertThat(store.changes().after(whole, all.get(0).seq(), 1)).containsExactly(all.get(1));
        assertThat(store.changes().after(own, start, 100)).containsExactly(all.get(1), all.get(2));
        assertThat(store.changes().after(own, 0, 1000))
                .noneMatch(one -> one.day().isPresent());
        assertThat(store.changes().after(whole, 0, 1000))
                .anyMatch(one -> one.day().isPresent());
        ProgramToken elsewhere = new ProgramToken(
                whole.id(),
                "elsewhere",
                "another register",
                ALL,
                false,
                whole.expiresAt(),
                "x",
                whole.madeAt(),
                Optional.empty(),
                Optional.empty());
        assertThat(store.changes().after(elsewhere, 0, 1000))
                .noneMatch(one -> one.day().isPresent());
        assertThat(register(elsewhere, "e1", "{\"e\":1}")).isInstanceOf(Registrations.OtherRegister.class);
    }

    @Test
    void verifyFindsEveryRowThatWasChangedBehindTheProgram() throws SQLException {
        ProgramToken token = known("tampered", ALL, true);
        register(token, "t1", "{\"t\":1}");
        store.tokens().withdraw(token.id(), "no longer needed", "M. Whelan");
        assertThat(store.compareWithJournal(says -> {}).differences()).isEmpty();
        for (String sql : List.of(
                "update programs.token set scopes = 'results' where program = 'tampered'",
                "update programs.token set own_only = false where program = 'tampered'",
                "update programs.token set expires_at = expires_at + interval '1 year' where program = 'tampered'",
                "update programs.token set token_sha256 = repeat('0', 64) where program = 'tampered'",
                "delete from programs.token_withdrawn",
                "update programs.registration set body_sha256 = repeat('0', 64) where program = 'tampered'",
                "delete from programs.registration")) {
            try (Connection owner = store.connections().owner();
                    Statement statement = owner.createStatement()) {
                assertThatThrownBy(() -> statement.execute(sql)).hasMessageContaining("never changed or deleted");
                owner.setAutoCommit(false);
                statement.execute("set session_replication_role = replica");
                statement.execute("create table kept_token as table programs.token");
                statement.execute("create table kept_withdrawn as table programs.token_withdrawn");
                statement.execute("create table kept_registration as table programs.registration");
                statement.execute(sql);
                owner.commit();
                assertThat(store.compareWithJournal(says -> {}).differences())
                        .as(sql)
                        .isNotEmpty();
                statement.execute("delete from programs.registration");
                statement.execute("delete from programs.token_withdrawn");
                statement.execute("delete from programs.token");
                statement.execute("insert into programs.token overriding system value select * from kept_token");
                statement.execute("insert into programs.token_withdrawn select * from kept_withdrawn");
                statement.execute("insert into programs.registration select * from kept_registration");
                statement.execute("drop table kept_token, kept_withdrawn, kept_registration");
                owner.commit();
            }
            assertThat(store.compareWithJournal(says -> {}).differences()).isEmpty();
        }
    }
}
