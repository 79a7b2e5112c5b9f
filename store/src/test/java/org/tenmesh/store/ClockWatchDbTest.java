package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.Statement;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import org.junit.jupiter.api.Test;
import org.tenmesh.store.journal.ClockWatch;
import org.tenmesh.store.journal.JournalEntry;

/** A clock that jumps, and one that differs from the database's, in a true store: told, in the journal, and right again when it is right. */
final class ClockWatchDbTest {
    private static final Duration HOUR = Duration.ofHours(1);
    private final SteppedClock clock = new SteppedClock();
    private final AtomicLong waited = new AtomicLong();

    private void later(Duration time) {
        waited.addAndGet(time.toNanos());
        clock.step(time);
    }

    private ClockWatch watch(Store store) {
        store.clockWatch().begin(() -> System.nanoTime() + waited.get(), failed -> {});
        return store.clockWatch();
    }

    private static List<JournalEntry> entries(Store store, String what) {
        return store.journal(100).stream()
                .filter(entry -> entry.what().equals(what))
                .toList();
    }

    @Test
    void anHourForwardAndBackIsToldAndStandsInTheJournal() throws Exception {
        Path folder = OpenStore.folder("clock");
        try (Store store = OpenStore.open(folder, clock)) {
            ClockWatch watch = watch(store);
            watch.look();
            clock.step(Duration.ofSeconds(4));
            watch.look();
            assertThat(watch.told()).as("less than clocks are corrected by").isEmpty();
            assertThat(watch.doubt()).isEmpty();
            clock.step(Duration.ofSeconds(-4));
            watch.look();

            clock.step(HOUR);
            watch.look();
            watch.look();
            assertThat(watch.told())
                    .anySatisfy(one -> assertThat(one).contains("set forward", "by 60 min 0 s ago"))
                    .anySatisfy(one -> assertThat(one).contains("60 min ahead of the database's"))
                    .hasSize(2);
            assertThat(watch.doubt()).isPresent();
            assertThat(entries(store, ClockWatch.JUMPED))
                    .singleElement()
                    .satisfies(entry -> assertThat(entry.detail()).containsPattern("\"seconds\":3600"));
            assertThat(entries(store, ClockWatch.DIFFERS))
                    .singleElement()
                    .satisfies(entry -> assertThat(entry.detail()).containsPattern("\"server-ahead-seconds\":3600"));
            store.note("M. Whelan", "report-printed", "while ahead", Map.of());

            clock.step(HOUR.negated());
            watch.look();
            assertThat(watch.doubt()).as("right again").isEmpty();
            assertThat(watch.told())
                    .anySatisfy(one -> assertThat(one).contains("set back by 60 min"))
                    .hasSize(2);
            store.note("M. Whelan", "report-printed", "right again", Map.of());
            // The times of the journal run backwards here; its numbers and its chain do not.
            List<JournalEntry> newest = store.journal(3);
            assertThat(newest).extracting(JournalEntry::subject).containsExactly("right again", "clock", "while ahead");
            assertThat(newest.get(0).at()).isBefore(newest.get(2).at());
            assertThat(newest.get(1).what()).isEqualTo(ClockWatch.JUMPED);
            assertThat(store.verifyJournal().whole()).isTrue();
            assertThat(store.compareWithJournal(says -> {}).differences()).isEmpty();
        }
        OpenStore.delete(folder);
    }

    @Test
    void aJumpIsToldForADayAndTheDatabaseClockForAsLongAsItDiffers() {
        Path folder = OpenStore.folder("clock");
        try (Store store = OpenStore.open(folder, clock)) {
            clock.step(HOUR.negated());
            ClockWatch watch = watch(store);
            assertThat(watch.told()).singleElement().asString().contains("behind the database's");
            assertThat(entries(store, ClockWatch.DIFFERS)).hasSize(1);
            clock.step(HOUR);
            watch.look();
            assertThat(watch.told()).singleElement().asString().contains("set forward");
            // Time goes on; the true database does not follow, so that it differs then.
            later(Duration.ofHours(23));
            watch.look();
            assertThat(entries(store, ClockWatch.JUMPED))
                    .as("time that passes is no jump")
                    .hasSize(1);
            assertThat(watch.told()).anySatisfy(one -> assertThat(one).contains("set forward", "by 60 min 23 h ago"));
            later(Duration.ofHours(2));
            assertThat(watch.told()).noneSatisfy(one -> assertThat(one).contains("set forward"));
        }
        OpenStore.delete(folder);
    }

    @Test
    void aJumpThatTheStoreDoesNotTakeIsWrittenAtTheNextLook() throws Exception {
        Path folder = OpenStore.folder("clock");
        try (Store store = OpenStore.open(folder, clock)) {
            ClockWatch watch = watch(store);
            OpenStore.run(store, "alter table journal.entry add constraint shut check (false) not valid");
            clock.step(HOUR);
            assertThatThrownBy(watch::look).isInstanceOf(RuntimeException.class);
            assertThat(watch.told()).singleElement().asString().contains("set forward");
            clock.step(HOUR.negated());
            assertThatThrownBy(watch::look).isInstanceOf(RuntimeException.class);
            OpenStore.run(store, "alter table journal.entry drop constraint shut");
            watch.look();
            watch.look();
            assertThat(entries(store, ClockWatch.JUMPED)).hasSize(2);
        }
        OpenStore.delete(folder);
    }

    @Test
    void aDifferenceThatTheStoreDoesNotTakeIsWrittenAtTheNextLook() throws Exception {
        Path folder = OpenStore.folder("clock");
        try (Store store = OpenStore.open(folder, clock)) {
            ClockWatch watch = watch(store);
            later(HOUR);
            OpenStore.run(store, "alter table journal.entry add constraint shut check (false) not valid");
            assertThatThrownBy(watch::look).isInstanceOf(RuntimeException.class);
            assertThat(watch.told()).singleElement().asString().contains("ahead of the database's");
            OpenStore.run(store, "alter table journal.entry drop constraint shut");
            watch.look();
            watch.look();
            assertThat(entries(store, ClockWatch.DIFFERS)).hasSize(1);
        }
        OpenStore.delete(folder);
    }

    @Test
    void isToldWhileTheStoreDoesNotAnswer() throws Exception {
        Path folder = OpenStore.folder("clock");
        try (Store store = OpenStore.open(folder, clock)) {
            ClockWatch watch = watch(store);
            clock.step(HOUR);
            Thread look = new Thread(watch::look);
            try (Connection other = store.connections().owner()) {
                other.setAutoCommit(false);
                try (Statement statement = other.createStatement()) {
                    statement.execute("lock table journal.entry, journal.head in access exclusive mode");
                }
                look.start();
                Eventually.within(Duration.ofMinutes(1), () -> !watch.told().isEmpty());
                assertThat(look.isAlive()).as("the look waits for the store").isTrue();
                assertThat(CompletableFuture.supplyAsync(watch::told).get(1, TimeUnit.MINUTES))
                        .singleElement()
                        .asString()
                        .contains("set forward");
                assertThat(watch.doubt()).isPresent();
                other.rollback();
            }
            look.join();
            assertThat(entries(store, ClockWatch.JUMPED)).hasSize(1);
        }
        OpenStore.delete(folder);
    }
}
