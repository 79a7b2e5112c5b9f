package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.function.BooleanSupplier;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.store.Store;
import org.tenmesh.store.live.Arrival;
import org.tenmesh.store.live.RunPart;
import org.tenmesh.web.days.CurrentDay;
import org.tenmesh.web.days.Judge;
import org.tenmesh.web.days.LivePage;
import org.tenmesh.web.days.LiveRuns;
import org.tenmesh.web.days.StoredLaboratory;

/** A run that is read while pages are open, taken by another server on the same database. */
class LiveRunsDbTest {
    private static final MethodBook METHODS = MethodFiles.shipped();
    private static final Clock CLOCK = Clock.systemUTC();

    private static void until(BooleanSupplier holds) throws InterruptedException {
        long end = System.nanoTime() + Duration.ofSeconds(60).toNanos();
        while (!holds.getAsBoolean()) {
            assertThat(System.nanoTime())
                    .as("it did not come true within a minute")
                    .isLessThan(end);
            Thread.sleep(20);
        }
    }

    private static Arrival arrival(Run run, int from, int to) {
        return new Arrival(
                "plasma socket",
                run.run() + " " + from,
                run.run(),
                Instant.now(),
                new byte[] {1},
                List.of(new RunPart(
                        run.with(run.readings().part(from, to)),
                        to == run.readings().size())),
                Optional.empty());
    }

    private static LivePage page(ExecutorService writers, boolean seesVerdicts, List<String> told) {
        return new LivePage(writers, () -> true, seesVerdicts, (event, data) -> told.add(event + " " + data));
    }

    @Test
    void pagesAreToldOfEachReadingAndOfAGateThatShuts(@TempDir Path folder) throws Exception {
        Day day = Simulator.simulate(
                        Scenario.of(11, 96, LocalDate.of(2026, 11, 25)).with(Fault.of(CauseKind.CALIBRATION_REJECTED)))
                .day();
        String shut = DayJudge.judge(day, METHODS).gates().stream()
                .filter(gate -> !gate.open())
                .map(GateOutcome::run)
                .findFirst()
                .orElseThrow();
        Run run = day.runs().stream()
                .filter(one -> one.run().equals(shut))
                .findFirst()
                .orElseThrow();
        List<Run> others = new ArrayList<>(day.runs());
        others.remove(run);
        ExecutorService writers = Executors.newFixedThreadPool(2);
        List<String> floor = new CopyOnWriteArrayList<>();
        List<String> bench = new CopyOnWriteArrayList<>();
        try (Store store = EmptyStore.open(folder.resolve("d"), CLOCK)) {
            store.take(day.withRuns(others), "0".repeat(64), "test");
            StoredLaboratory laboratory = new StoredLaboratory(store);
            try (CurrentDay current = new CurrentDay(laboratory, METHODS, Judge.HOUSE, CLOCK, 1);
                    LiveRuns live =
                            new LiveRuns(laboratory, METHODS, current, card -> card.run() + " " + card.readings())) {
                current.start();
                live.start();
                live.follow(page(writers, true, floor));
                live.follow(page(writers, false, bench));
                int soils = run.readings().size() / 2;

                store.arrivals().take(arrival(run, 0, 5), "test");
                until(() -> floor.contains("run " + shut + " 5"));
                assertThat(live.of(run.instrument()).orElseThrow().gate()).isEqualTo("not read yet");
                store.arrivals().take(arrival(run, 5, soils), "test");
                until(() -> floor.contains("run " + shut + " " + soils));
                until(() -> bench.stream().anyMatch(one -> one.contains("\"state\":\"shut\"")));

                assertThat(bench).allMatch(one -> one.startsWith("gate "));
                assertThat(live.of(run.instrument()).orElseThrow().causes()).isNotEmpty();
                // The whole day follows, and then the end of the run.
                until(() -> current.desk()
                        .orElseThrow()
                        .run(shut)
                        .filter(Run::underWay)
                        .isPresent());
                store.arrivals().take(arrival(run, soils, run.readings().size()), "test");
                until(() -> floor.stream().anyMatch(one -> one.startsWith("run-ended")));
                until(() -> current.desk()
                        .orElseThrow()
                        .run(shut)
                        .filter(one -> !one.underWay())
                        .isPresent());
                assertThat(live.cards()).isEmpty();
            }
        } finally {
            writers.shutdownNow();
        }
    }

    @Test
    void aSlowPageMissesStepsAndKeepsNobodyWaiting() throws Exception {
        ExecutorService writers = Executors.newFixedThreadPool(2);
        try {
            List<String> quick = new CopyOnWriteArrayList<>();
            List<String> slow = new CopyOnWriteArrayList<>();
            LivePage held = new LivePage(writers, () -> true, true, (event, data) -> {
                try {
                    Thread.sleep(300);
                } catch (InterruptedException e) {
                    Thread.currentThread().interrupt();
                }
                slow.add(data);
            });
            LivePage page = page(writers, true, quick);
            for (int i = 0; i < 50; i++) {
                held.tell("run", "R1", "" + i);
                page.tell("run", "R1", "" + i);
                Thread.sleep(2);
            }
            until(() -> slow.contains("49"));
            assertThat(quick).contains("run 49");
            assertThat(slow).hasSizeLessThan(10);
        } finally {
            writers.shutdownNow();
        }
    }
}
