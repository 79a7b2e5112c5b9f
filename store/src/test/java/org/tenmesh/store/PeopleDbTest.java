package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.security.SecureRandom;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.Locale;
import java.util.concurrent.atomic.AtomicInteger;
import org.junit.jupiter.api.Test;

final class PeopleDbTest {
    private static final AtomicInteger NAMES = new AtomicInteger();
    private final Store store = OpenStore.get();
    private final SetClock clock = new SetClock();
    private final People people = new People(
            store.connections().app(), new Journal(store.connections().app()), clock, new SecureRandom());
    private final String name = "Person " + NAMES.incrementAndGet();

    @Test
    void findsWhomItAddedWhateverTheCapitals() {
        Person person = new Person(name, PersonRole.CLIENT_SERVICE, "hash-1");
        people.add(person, "M. Whelan");

        assertThat(people.find(name)).contains(person);
        assertThat(people.find(name.toUpperCase(Locale.ROOT))).contains(person);
        assertThat(people.all()).contains(person);
        assertThat(people.find("nobody of this name")).isEmpty();
        assertThatThrownBy(() -> people.add(new Person(name.toLowerCase(Locale.ROOT), PersonRole.BENCH, ""), "x"))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("already");
    }

    @Test
    void writesChangesOfPeopleToTheJournalWithoutTheHash() {
        people.add(new Person(name, PersonRole.BENCH, "secret-hash-1"), "M. Whelan");
        people.change(new Person(name, PersonRole.QUALITY, "secret-hash-2"), "M. Whelan");

        assertThat(store.journal(2).toString())
                .contains("person-added", "person-changed", "\"role-before\":\"bench\"", "\"password-changed\":true")
                .doesNotContain("secret-hash");
        assertThat(store.verifyJournal().whole()).isTrue();
        assertThatThrownBy(() -> people.change(new Person("nobody of this name", PersonRole.BENCH, ""), "x"))
                .isInstanceOf(Refused.class);
    }

    @Test
    void endsSessionsByTimeBySignOutAndByChange() {
        Person person = new Person(name, PersonRole.BENCH, "hash");
        people.add(person, "M. Whelan");
        String byTime = people.startSession(name, Duration.ofHours(8));
        String bySignOut = people.startSession(name, Duration.ofHours(9));
        String byChange = people.startSession(name, Duration.ofHours(9));
        assertThat(people.session(byTime).orElseThrow().person()).isEqualTo(person);
        assertThat(people.session(byTime + "x")).isEmpty();

        clock.step(Duration.ofHours(8));
        assertThat(people.session(byTime)).isEmpty();
        assertThat(people.session(bySignOut)).isPresent();
        people.endSession(bySignOut);
        assertThat(people.session(bySignOut)).isEmpty();
        assertThat(people.session(byChange)).isPresent();
        people.change(new Person(name, PersonRole.BENCH, "hash", false), "M. Whelan");
        assertThat(people.session(byChange)).isEmpty();
        assertThatThrownBy(() -> people.startSession(name, Duration.ofHours(1))).isInstanceOf(Refused.class);
    }

    @Test
    void redeemsAOneTimeTokenOnceAndInTime() {
        Person person = new Person(name, PersonRole.IN_CHARGE, "");
        people.add(person, "M. Whelan");
        String token = people.oneTimeToken(name, Duration.ofMinutes(10));
        String late = people.oneTimeToken(name, Duration.ofMinutes(10));

        assertThat(people.redeem(token)).contains(person);
        assertThat(people.redeem(token)).isEmpty();
        clock.step(Duration.ofMinutes(10));
        assertThat(people.redeem(late)).isEmpty();
        assertThat(people.redeem("made up")).isEmpty();
    }

    @Test
    void storesNoTokenAsItIs() throws Exception {
        people.add(new Person(name, PersonRole.BENCH, ""), "M. Whelan");
        String session = people.startSession(name, Duration.ofHours(1));
        String once = people.oneTimeToken(name, Duration.ofHours(1));

        assertThat(session).hasSize(43).isNotEqualTo(once);
        assertThat(OpenStore.ask(store, "select string_agg(s::text, '') from people.session s"))
                .contains(Journal.sha256(session))
                .doesNotContain(session);
        assertThat(OpenStore.ask(store, "select string_agg(t::text, '') from people.one_time_token t"))
                .doesNotContain(once);
    }

    @Test
    void countsFailedSignInsOfAnyName() {
        String tried = name + "\0 " + "x".repeat(200);
        for (int i = 0; i < 3; i++) {
            people.signInFailed(tried);
            clock.step(Duration.ofMinutes(1));
        }
        assertThat(people.failedSignIns(tried, Duration.ofMinutes(15))).isEqualTo(3);
        assertThat(people.failedSignIns(tried, Duration.ofSeconds(90))).isEqualTo(1);
        people.signInSucceeded(tried);
        assertThat(people.failedSignIns(tried, Duration.ofMinutes(15))).isZero();
    }

    @Test
    void doesNotShowAHashInItsText() {
        assertThat(new Person(name, PersonRole.BENCH, "secret").toString()).doesNotContain("secret");
    }

    /** A clock that stands until it is stepped. */
    private static final class SetClock extends Clock {
        private Instant now = Instant.parse("2026-11-25T08:00:00Z");

        void step(Duration by) {
            now = now.plus(by);
        }

        @Override
        public Instant instant() {
            return now;
        }

        @Override
        public ZoneId getZone() {
            return ZoneOffset.UTC;
        }

        @Override
        public Clock withZone(ZoneId zone) {
            return this;
        }
    }
}
