package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.Subject;
import org.tenmesh.store.live.Arrival;

/** Several sources and tablets at once: comparing with the journal finds nothing, though nobody waited for another. */
@Execution(ExecutionMode.SAME_THREAD)
final class ManyAtOnceDbTest {
    private static final Store STORE = OpenStore.get();
    private static final Instant AT = Instant.parse("2026-11-25T14:00:00Z");
    private static final int EACH = 60;

    private interface Step {
        void take(int source, int i);
    }

    private static void eightAtOnce(Step step) throws Exception {
        ExecutorService threads = Executors.newFixedThreadPool(8);
        List<Future<?>> all = new ArrayList<>();
        for (int source = 0; source < 8; source++) {
            int its = source;
            all.add(threads.submit(() -> {
                for (int i = 0; i < EACH; i++) {
                    step.take(its, i);
                }
            }));
        }
        for (Future<?> one : all) {
            one.get();
        }
        threads.shutdown();
    }

    private static List<String> inAnotherOrder() {
        return STORE.compareWithJournal(says -> {}).differences().stream()
                .filter(one -> one.contains("another order"))
                .toList();
    }

    @Test
    void whatEightSourcesSendAtOnceStandsAsTheJournalSays() throws Exception {
        String day = OpenStore.freshDigest();
        eightAtOnce((source, i) -> STORE.arrivals()
                .take(
                        new Arrival(
                                "many " + source,
                                day + " " + i,
                                "nothing to read",
                                AT,
                                (day + source + i).getBytes(StandardCharsets.UTF_8),
                                List.of(),
                                Optional.of("it is a test")),
                        "many " + source));
        assertThat(inAnotherOrder()).isEmpty();
    }

    @Test
    void whatEightTabletsNoteAtOnceStandsAsTheJournalSays() throws Exception {
        String first = OpenStore.freshDigest().substring(0, 20);
        eightAtOnce((tablet, i) -> STORE.benchActs()
                .keep(
                        new BenchAct(
                                first + "-" + tablet + "-" + i,
                                Subject.rack("R" + (100 + tablet)),
                                "",
                                BenchAct.What.DONE,
                                "",
                                "",
                                "T. Byrne",
                                "tablet-" + tablet,
                                AT,
                                AT),
                        "T. Byrne"));
        assertThat(inAnotherOrder()).isEmpty();
    }
}
