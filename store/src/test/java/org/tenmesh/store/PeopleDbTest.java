package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.security.SecureRandom;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicInteger;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.journal.JournalEntry;
import org.tenmesh.store.people.FormerName;
import org.tenmesh.store.people.People;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonName;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.people.Redeemed;
import org.tenmesh.store.rows.Refused;

@Execution(ExecutionMode.SAME_THREAD)
final class PeopleDbTest {
    private static final Duration IDLE = Duration.ofDays(1);
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
        assertThat(people.session(byTime, IDLE, false).orElseThrow().person()).isEqualTo(person);
        assertThat(people.session(byTime + "x", IDLE, false)).isEmpty();

        clock.step(Duration.ofHours(8));
        assertThat(people.session(byTime, IDLE, false)).isEmpty();
        assertThat(people.session(bySignOut, IDLE, false)).isPresent();
        people.endSession(bySignOut);
        assertThat(people.session(bySignOut, IDLE, false)).isEmpty();
        assertThat(people.session(byChange, IDLE, false)).isPresent();
        people.change(new Person(name, PersonRole.BENCH, "hash", false), "M. Whelan");
        assertThat(people.session(byChange, IDLE, false)).isEmpty();
        assertThatThrownBy(() -> people.startSession(name, Duration.ofHours(1))).isInstanceOf(Refused.class);
    }

    @Test
    void redeemsAOneTimeTokenOnceAndInTime() {
        Person person = new Person(name, PersonRole.IN_CHARGE, "");
        people.add(person, "M. Whelan");
        String token = people.oneTimeToken(name, Duration.ofMinutes(10), "M. Whelan");
        String late = people.oneTimeToken(name, Duration.ofMinutes(10), "M. Whelan");

        assertThat(people.redeem(token)).contains(new Redeemed(person, "M. Whelan"));
        assertThat(people.redeem(token)).isEmpty();
        clock.step(Duration.ofMinutes(10));
        assertThat(people.redeem(late)).isEmpty();
        assertThat(people.redeem("made up")).isEmpty();
    }

    @Test
    void storesNoTokenAsItIs() throws Exception {
        people.add(new Person(name, PersonRole.BENCH, ""), "M. Whelan");
        String session = people.startSession(name, Duration.ofHours(1));
        String once = people.oneTimeToken(name, Duration.ofHours(1), "M. Whelan");

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
            people.signInFailed(tried, "192.0.2.7");
            clock.step(Duration.ofMinutes(1));
        }
        Duration quarter = Duration.ofMinutes(15);
        assertThat(people.failedSignIns(tried, "192.0.2.7", quarter)).isEqualTo(3);
        assertThat(people.failedSignIns(tried, "192.0.2.8", quarter)).isZero();
        assertThat(people.failedSignIns(name + " another", "192.0.2.7", quarter))
                .isZero();
        assertThat(people.failedSignInsFrom("192.0.2.7", quarter)).isEqualTo(3);
        assertThat(people.failedSignIns(tried, "192.0.2.7", Duration.ofSeconds(90)))
                .isEqualTo(1);
        people.signInSucceeded(tried, "192.0.2.8");
        assertThat(people.failedSignIns(tried, "192.0.2.7", quarter)).isEqualTo(3);
        people.signInSucceeded(tried, "192.0.2.7");
        assertThat(people.failedSignIns(tried, "192.0.2.7", quarter)).isZero();
    }

    @Test
    void forgetsWhatAClockFarAheadWroteOnceTheClockIsRight() {
        people.add(new Person(name, PersonRole.BENCH, "hash"), "M. Whelan");
        clock.step(Duration.ofDays(400));
        String ahead = people.startSession(name, Duration.ofHours(12));
        people.signInFailed(name, "ahead");
        clock.step(Duration.ofDays(-400));
        assertThat(people.session(ahead, IDLE, true)).isEmpty();
        assertThat(people.failedSignIns(name, "ahead", Duration.ofMinutes(15))).isZero();
    }

    /** Else a tablet that was used while the clock was an hour ahead would stay open for an hour and five minutes. */
    @Test
    void aSharedTabletLocksInItsTimeAlsoWhenTheClockWasSetBack() {
        people.add(new Person(name, PersonRole.BENCH, "hash"), "M. Whelan");
        String token = people.startBadgeSession(name, Duration.ofHours(12), Duration.ofMinutes(5));
        String desk = people.startSession(name, Duration.ofHours(12));
        clock.step(Duration.ofMinutes(62));
        assertThat(people.session(token, IDLE, true))
                .as("forward: locked early")
                .isEmpty();
        assertThat(people.session(desk, IDLE, true)).as("forward: goes on").isPresent();
        String ahead = people.startBadgeSession(name, Duration.ofHours(12), Duration.ofMinutes(5));
        clock.step(Duration.ofHours(-1));
        assertThat(people.session(ahead, IDLE, true)).as("began in the future").isEmpty();
        assertThat(people.session(desk, IDLE, true))
                .as("was used in the future")
                .isEmpty();

        String near = people.startBadgeSession(name, Duration.ofHours(12), Duration.ofMinutes(5));
        clock.step(Duration.ofMinutes(-4));
        assertThat(people.session(near, IDLE, true)).as("a small step").isPresent();
        clock.step(Duration.ofSeconds(301));
        assertThat(people.session(near, IDLE, false))
                .as("five minutes without use")
                .isEmpty();
    }

    @Test
    void endsASessionThatIsNotUsed() {
        people.add(new Person(name, PersonRole.BENCH, "hash"), "M. Whelan");
        String token = people.startSession(name, Duration.ofHours(12));
        Duration idle = Duration.ofMinutes(30);
        clock.step(Duration.ofMinutes(20));
        assertThat(people.session(token, idle, true)).isPresent();
        clock.step(Duration.ofMinutes(20));
        assertThat(people.session(token, idle, false)).isPresent();
        clock.step(Duration.ofMinutes(20));
        assertThat(people.session(token, idle, true)).isEmpty();
    }

    @Test
    void writesEveryLinkToTheJournalWithItsIssuerAndItsUse() {
        people.add(new Person(name, PersonRole.BENCH, ""), "M. Whelan");
        people.redeem(people.oneTimeToken(name, Duration.ofHours(1), "R. Quill"));
        String token = people.startSession(name, Duration.ofHours(1), Optional.of("R. Quill"));
        assertThat(people.session(token, IDLE, false).orElseThrow().linkIssuer())
                .contains("R. Quill");
        people.change(new Person(name, PersonRole.BENCH, "hash"), name, Optional.of("R. Quill"));
        List<JournalEntry> journal = store.journal(3);
        assertThat(journal)
                .extracting(JournalEntry::what)
                .containsExactly("person-changed", "sign-in-link-used", "sign-in-link-issued");
        assertThat(journal).extracting(JournalEntry::subject).containsOnly(name);
        assertThat(journal.get(2).actor()).isEqualTo("R. Quill");
        assertThat(journal.get(0).detail()).contains("\"link-issued-by\":\"R. Quill\"");
    }

    @ParameterizedTest
    @ValueSource(
            strings = {
                "R. Quill ",
                " R. Quill",
                "R.\u00a0Quill",
                "R.\u200bQuill",
                "R.  Quill",
                "R. Qu\u0456ll",
                "\uff32. Quill",
                "R. Quill\0"
            })
    void refusesANameThatLooksLikeAnother(String lookAlike) {
        assertThatThrownBy(() -> people.add(new Person(lookAlike, PersonRole.BENCH, ""), "M. Whelan"))
                .isInstanceOf(Refused.class);
    }

    @Test
    void staysTheSamePersonUnderANewNameAndGivesTheOldOneToNobody() {
        String married = name + " Sallow";
        people.add(new Person(name, PersonRole.QUALITY, "hash", false), "M. Whelan");
        assertThat(people.proposedBy(name)).contains("M. Whelan");
        people.rename(name, married, "R. Sedge");
        assertThat(people.proposedBy(married)).contains("M. Whelan");
        people.change(new Person(married, PersonRole.QUALITY, "hash", true), "L. Reed");
        String session = people.startSession(married, Duration.ofHours(9));
        String token = people.oneTimeToken(married, Duration.ofHours(9), "R. Sedge");
        String third = name + " Alder";
        people.rename(married, third, "R. Sedge");

        Person now = new Person(third, PersonRole.QUALITY, "hash");
        assertThat(people.session(session, IDLE, true).orElseThrow().person()).isEqualTo(now);
        assertThat(people.redeem(token).orElseThrow().person()).isEqualTo(now);
        assertThat(people.find(name)).isEmpty();
        assertThat(people.called(name)).contains(now);
        assertThat(people.called(married)).contains(now);
        assertThat(people.formerNames())
                .filteredOn(had -> had.person().equals(third))
                .extracting(FormerName::name)
                .containsExactlyInAnyOrder(name, married);
        assertThat(store.journal(20))
                .filteredOn(entry -> entry.what().equals("person-renamed"))
                .extracting(JournalEntry::subject)
                .contains(name, married);
        for (String taken : List.of(name, married.toUpperCase(Locale.ROOT), married.replace("ll", "l1"))) {
            assertThatThrownBy(() -> people.add(new Person(taken, PersonRole.BENCH, ""), "x"))
                    .as(taken)
                    .isInstanceOf(Refused.class)
                    .hasMessageContaining("was the name of " + third);
        }
        String other = name + " Other";
        people.add(new Person(other, PersonRole.BENCH, ""), "x");
        assertThatThrownBy(() -> people.rename(other, married, "x")).isInstanceOf(Refused.class);
        assertThatThrownBy(() -> people.rename(third, other, "x")).isInstanceOf(Refused.class);
        assertThatThrownBy(() -> people.rename(third, "Tenmesh", "x")).isInstanceOf(Refused.class);
        assertThatThrownBy(() -> people.rename(third, third, "x")).isInstanceOf(Refused.class);

        // back to a name of one's own, and capitals alone
        people.rename(third, name, "R. Sedge");
        people.rename(name, name.toUpperCase(Locale.ROOT), "R. Sedge");
        assertThat(people.called(third).orElseThrow().name()).isEqualTo(name.toUpperCase(Locale.ROOT));
        assertThat(people.formerNames())
                .filteredOn(had -> had.person().equalsIgnoreCase(name))
                .extracting(FormerName::name)
                .containsExactlyInAnyOrder(married, third);
        assertThat(store.compareWithJournal(says -> {}).differences())
                .filteredOn(one -> one.contains(name) || one.contains(name.toUpperCase(Locale.ROOT)))
                .isEmpty();
    }

    @Test
    void refusesANameThatIsTakenForOneThatIsThere() {
        people.add(new Person("Marnie O'Lirn", PersonRole.BENCH, ""), "M. Whelan");
        for (String alike : List.of(
                "marnie o'lirn",
                "Mamie O'Lirn",
                "Marnie OLirn",
                "Márnie O’Lirn",
                "Marnie 0'Lirn",
                "Marnie O'L1rn",
                "Marn\u0131e O'Lirn")) {
            assertThatThrownBy(() -> people.add(new Person(alike, PersonRole.QUALITY, ""), "M. Whelan"))
                    .as(alike)
                    .isInstanceOf(Refused.class)
                    .hasMessageContaining("Marnie O'Lirn".equalsIgnoreCase(alike) ? "already" : "easily taken");
        }
        people.add(new Person("Marnie B. O'Lirn", PersonRole.QUALITY, ""), "M. Whelan");
    }

    /** A name written in one other alphabet throughout passes for a Latin one: c, o, p, e in Cyrillic. */
    @Test
    void refusesANameOfAnotherAlphabetThatReadsTheSame() {
        people.add(new Person("Cope Pax", PersonRole.BENCH, ""), "M. Whelan");
        String cyrillic = "\u0421\u043e\u0440\u0435 \u0420\u0430\u0445";
        assertThat(PersonName.wrong(cyrillic)).isEmpty();
        assertThatThrownBy(() -> people.add(new Person(cyrillic, PersonRole.QUALITY, ""), "M. Whelan"))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("Cope Pax");
    }

    @Test
    void knowsWhoAskedThatSomebodyMaySignInUntilThatIsDecided() {
        people.add(new Person(name, PersonRole.QUALITY, "", false), "R. Sedge");
        assertThat(people.proposedBy(name.toUpperCase(Locale.ROOT))).contains("R. Sedge");
        people.change(new Person(name, PersonRole.QUALITY, "", false), "M. Whelan");
        assertThat(people.proposedBy(name)).isEmpty();
        people.propose(name, "A. Marram");
        assertThat(people.proposedBy(name)).contains("A. Marram");
        people.change(new Person(name, PersonRole.QUALITY, ""), "M. Whelan");
        assertThat(people.proposedBy(name)).isEmpty();
        assertThatThrownBy(() -> people.propose(name, "A. Marram")).isInstanceOf(Refused.class);
        assertThat(people.proposedBy("nobody of this name")).isEmpty();
    }

    @ParameterizedTest
    @ValueSource(strings = {"Tenmesh", "Console of the machine", "C0mmand line", "tenmesh-demo", "..."})
    void refusesANameOfTheProgramAndOneWithoutALetter(String name) {
        assertThatThrownBy(() -> people.add(new Person(name, PersonRole.BENCH, ""), "M. Whelan"))
                .isInstanceOf(Refused.class);
    }

    @ParameterizedTest
    @ValueSource(strings = {"R. Quill", "Niamh Ní Bhriain", "D'Arcy O'Neil-Smith", "山田 たろう", "Ольга Ким"})
    void takesNamesOfManyLanguages(String ordinary) {
        assertThat(PersonName.wrong(ordinary)).isEmpty();
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
