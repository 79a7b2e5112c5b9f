package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.tenmesh.core.digest.Content;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.days.RunDigest;
import org.tenmesh.store.live.Arrival;
import org.tenmesh.store.live.Arrivals;
import org.tenmesh.store.live.Following;
import org.tenmesh.store.live.RunPart;
import org.tenmesh.store.live.Taken;
import org.tenmesh.store.rows.Refused;

@Execution(ExecutionMode.SAME_THREAD)
final class ArrivalsDbTest {
    private static final Instant AT = Instant.parse("2026-11-25T09:00:00Z");

    private final Store store = OpenStore.get();
    private final String day = OpenStore.freshDay();
    private final String register = day.substring(11);
    private final Arrivals arrivals = store.arrivals().in(register);

    private Arrival arrival(String key, String text, RunPart... parts) {
        return new Arrival(
                "drop " + register,
                key,
                key + ".csv",
                AT,
                text.getBytes(StandardCharsets.UTF_8),
                List.of(parts),
                Optional.empty());
    }

    private static RunPart part(Run run, int from, int to, boolean last) {
        return new RunPart(run.with(run.readings().part(from, to)), last);
    }

    private Day listed(Day whole) {
        Day listed = OpenStore.in(day, MadeDay.like(whole).runs(List.of()).day());
        OpenStore.take(store, listed, day, OpenStore.freshDigest(), "M. Whelan");
        return listed;
    }

    @Test
    void aDayThatCameReadingByReadingIsTheDayThatCameAtOnce() {
        Day whole = InventedDay.of(450);
        String other = OpenStore.freshDay();
        OpenStore.take(store, whole, other, OpenStore.freshDigest(), "M. Whelan");
        listed(whole);

        // Three runs at once, in pieces that end in the middle of a soil.
        int piece = 37;
        for (int from = 0; from < 5_000; from += piece) {
            for (Run run : whole.runs()) {
                int size = run.readings().size();
                if (from < size) {
                    int to = Math.min(size, from + piece);
                    arrivals.take(arrival(run.run() + " " + from, "", part(run, from, to, to == size)), "capture");
                }
            }
        }

        Day live = store.quality().dayWithControls(day).orElseThrow();
        Day once = store.quality().dayWithControls(other).orElseThrow();
        assertThat(live.runs().stream().map(RunDigest::of))
                .containsExactlyElementsOf(
                        once.runs().stream().map(RunDigest::of).toList());
        assertThat(live.runs()).noneMatch(Run::underWay);
        assertThat(Content.digest(live.runs())).isEqualTo(Content.digest(once.runs()));
        assertThat(Content.digest(live.soils())).isEqualTo(Content.digest(once.soils()));
        assertThat(Content.digest(live.submissions())).isEqualTo(Content.digest(once.submissions()));
        assertThat(store.dayEntry(day).orElseThrow().runs()).isEqualTo(3);
        assertThat(arrivals.underWay()).noneMatch(run -> run.day().equals(day));
        assertThat(store.verifyJournal().firstBroken()).isEmpty();
        assertThat(store.compareWithJournal(says -> {}).differences())
                .noneMatch(difference -> difference.contains(register));
    }

    @Test
    void aRunUnderWayIsInItsDayWithWhatWasRead() {
        Day whole = InventedDay.of(60);
        Run run = whole.runs().get(0);
        listed(whole);
        String before = store.dayEntry(day).orElseThrow().digest();

        Taken taken = arrivals.take(arrival("1", "a", part(run, 0, 300, false)), "capture");

        assertThat(taken.before()).isFalse();
        assertThat(taken.lines()).containsExactly(new Taken.Lines(run.run(), day, 1, 300, false));
        assertThat(store.dayEntry(day).orElseThrow().digest()).isNotEqualTo(before);
        assertThat(store.day(day).orElseThrow().runs()).singleElement().satisfies(one -> {
            assertThat(one.underWay()).isTrue();
            assertThat(one.readings().sameAs(run.readings().part(0, 300))).isTrue();
        });
        var read = store.quality().dayWithControls(day, Optional.empty()).orElseThrow();
        arrivals.take(arrival("2", "b", part(run, 300, 350, false)), "capture");
        Run grown = store.quality()
                .dayWithControls(day, Optional.of(read))
                .orElseThrow()
                .day()
                .runs()
                .get(0);
        assertThat(grown.readings().sameAs(run.readings().part(0, 350))).isTrue();
        assertThat(arrivals.underWay().stream().filter(one -> one.day().equals(day)))
                .singleElement()
                .satisfies(one -> assertThat(one.readings()).isEqualTo(350));
    }

    @Test
    void theSameArrivalIsTakenOnce() {
        Run run = InventedDay.of(60).runs().get(0);
        Taken first = arrivals.take(arrival("1", "a", part(run, 0, 100, false)), "capture");

        Taken again = arrivals.take(arrival("1", "a", part(run, 0, 100, false)), "capture");

        assertThat(again)
                .isEqualTo(new Taken(
                        first.source(),
                        first.key(),
                        first.sha256(),
                        first.takenAt(),
                        true,
                        first.lines(),
                        Optional.empty()));
        assertThat(store.day(day).orElseThrow().runs().get(0).readings().size()).isEqualTo(100);
        assertThatThrownBy(() -> arrivals.take(arrival("1", "b", part(run, 100, 200, false)), "capture"))
                .isInstanceOf(Refused.class)
                .hasMessageContaining(first.sha256())
                .hasMessageContaining("nothing was stored");
        assertThat(store.day(day).orElseThrow().runs().get(0).readings().size()).isEqualTo(100);
        assertThat(arrivals.bytes("drop " + register, "1")).hasValue("a".getBytes(StandardCharsets.UTF_8));
    }

    @Test
    void theSameArrivalFromManySidesAtOnceIsTakenOnce() throws Exception {
        Run run = InventedDay.of(60).runs().get(0);
        ExecutorService threads = Executors.newFixedThreadPool(8);
        try {
            List<Callable<Taken>> all = new ArrayList<>();
            for (int i = 0; i < 8; i++) {
                all.add(() -> arrivals.take(arrival("1", "a", part(run, 0, 100, false)), "capture"));
            }
            List<Taken> taken = new ArrayList<>();
            for (var one : threads.invokeAll(all)) {
                taken.add(one.get());
            }
            assertThat(taken.stream().filter(one -> !one.before())).hasSize(1);
        } finally {
            threads.shutdownNow();
        }
        assertThat(store.day(day).orElseThrow().runs().get(0).readings().size()).isEqualTo(100);
    }

    @Test
    void aRunKeepsItsHeadAndEndsOnce() {
        Run run = InventedDay.of(60).runs().get(0);
        arrivals.take(arrival("1", "a", part(run, 0, 100, false)), "capture");

        Run elsewhere = MadeRun.like(run).instrument("plasma-2").run();
        assertThatThrownBy(() -> arrivals.take(arrival("2", "b", part(elsewhere, 100, 200, false)), "capture"))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("plasma-1")
                .hasMessageContaining("plasma-2");
        arrivals.take(arrival("2", "b", part(run, 100, 200, true)), "capture");
        assertThatThrownBy(() -> arrivals.take(arrival("3", "c", part(run, 200, 300, true)), "capture"))
                .isInstanceOf(Refused.class)
                .hasMessageContaining("has ended");
    }

    @Test
    void whatCameTogetherIsTakenTogetherOrNotAtAll() {
        Run run = InventedDay.of(60).runs().get(0);
        List<Arrival> together = IntStream.range(0, 20)
                .mapToObj(i -> arrival("" + i, "", part(run, 10 * i, 10 * i + 10, false)))
                .toList();
        arrivals.take(together, "capture");

        assertThat(store.day(day)
                        .orElseThrow()
                        .runs()
                        .get(0)
                        .readings()
                        .sameAs(run.readings().part(0, 200)))
                .isTrue();
        assertThatThrownBy(() -> arrivals.take(
                        List.of(arrival("20", "", part(run, 200, 210, false)), arrival("3", "other")), "capture"))
                .isInstanceOf(Refused.class);
        assertThat(arrivals.newest("drop " + register, 100)).hasSize(20);
        assertThat(arrivals.newest("drop " + register, 1)).singleElement().satisfies(one -> {
            assertThat(one.key()).isEqualTo("19");
            assertThat(one.readings()).isEqualTo(10);
        });
    }

    @Test
    void aPersonEndsARunWhoseSourceDied() {
        Run run = InventedDay.of(60).runs().get(0);
        arrivals.take(arrival("1", "a", part(run, 0, 100, false)), "capture");

        assertThatThrownBy(() -> arrivals.end(run.run(), " ", "M. Whelan")).isInstanceOf(Refused.class);
        arrivals.end(run.run(), "the autosampler stopped", "M. Whelan");

        assertThat(store.day(day).orElseThrow().runs()).singleElement().satisfies(one -> {
            assertThat(one.underWay()).isFalse();
            assertThat(one.readings().size()).isEqualTo(100);
        });
        assertThat(store.journal(1)).singleElement().satisfies(entry -> {
            assertThat(entry.what()).isEqualTo("run-ended");
            assertThat(entry.detail()).contains("the autosampler stopped");
        });
        assertThatThrownBy(() -> arrivals.end(run.run(), "again", "M. Whelan")).isInstanceOf(Refused.class);
    }

    @Test
    void whatWasChangedOfARunUnderWayIsNamed() throws Exception {
        Run run = InventedDay.of(60).runs().get(0);
        arrivals.take(arrival("1", "a", part(run, 0, 100, false)), "capture");
        arrivals.take(arrival("2", "b", part(run, 100, 200, false)), "capture");
        assertThat(store.compareWithJournal(says -> {}).differences()).noneMatch(one -> one.contains(register));
        String source = "drop " + register;
        String id = OpenStore.ask(store, "select id from reading.under_way where register = '" + register + "'");
        String where = " where run = " + id + " and line = 150";

        OpenStore.run(
                store,
                "alter table reading.reading disable trigger reading_stays",
                "update reading.reading set value = value + 1" + where,
                "alter table capture.arrival disable trigger arrival_stays",
                "update capture.arrival set bytes = 'x' where key = '1' and source = '" + source + "'");
        List<String> found = store.compareWithJournal(says -> {}).differences();
        OpenStore.run(
                store,
                "update reading.reading set value = value - 1" + where,
                "alter table reading.reading enable trigger reading_stays",
                "update capture.arrival set bytes = 'a' where key = '1' and source = '" + source + "'",
                "alter table capture.arrival enable trigger arrival_stays");

        assertThat(found.stream().filter(one -> one.contains(source)))
                .anyMatch(one -> one.startsWith("arrival 1 of " + source + " is not as it came"))
                .anyMatch(one -> one.contains("what arrived as " + source + ", 2 was changed after it was taken"))
                .hasSize(2);
    }

    @Test
    void everyServerIsToldOfWhatAnotherWroteAndTheConnectionMayDie() throws Exception {
        Run run = InventedDay.of(60).runs().get(0);
        List<Following.Entry> told = new CopyOnWriteArrayList<>();
        try (Following following = store.follow(told::addAll)) {
            Eventually.within(Duration.ofSeconds(20), following::listens);
            arrivals.take(arrival("1", "a", part(run, 0, 100, false)), "capture");
            Eventually.within(
                    Duration.ofSeconds(20),
                    () -> told.stream().anyMatch(one -> one.what().equals("readings-taken")));

            OpenStore.run(
                    store,
                    "select pg_terminate_backend(pid) from pg_stat_activity where application_name = 'tenmesh listening'");
            arrivals.take(arrival("2", "b", part(run, 100, 200, false)), "capture");
            Eventually.within(
                    Duration.ofSeconds(20),
                    () -> told.stream()
                                    .filter(one -> one.what().equals("readings-taken")
                                            && one.subject().equals("drop " + register))
                                    .count()
                            == 2);
            Eventually.within(Duration.ofSeconds(20), following::listens);
        }
        assertThat(told).doesNotHaveDuplicates();
    }

    @Test
    void whatCouldNotBeReadIsKeptAsItCame() {
        arrivals.take(
                new Arrival(
                        "drop " + register,
                        "odd.csv",
                        "odd.csv",
                        AT,
                        new byte[] {0, 1, 2},
                        List.of(),
                        Optional.of("no line of it is a reading")),
                "capture");

        assertThat(arrivals.newest("drop " + register, 5)).singleElement().satisfies(one -> {
            assertThat(one.setAside()).hasValue("no line of it is a reading");
            assertThat(one.bytes()).isEqualTo(3);
        });
    }
}
