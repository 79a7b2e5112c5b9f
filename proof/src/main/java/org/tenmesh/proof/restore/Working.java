package org.tenmesh.proof.restore;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.store.Store;
import org.tenmesh.store.backup.Backups;
import org.tenmesh.store.backup.WalArchive;
import org.tenmesh.store.live.Arrival;
import org.tenmesh.store.live.RunPart;
import org.tenmesh.store.server.StoreSettings;

/**
 * The machine that is lost: a store with its days and its backup, on which work goes on. Says on standard output what it measured and, once it
 * is stored, each piece of work with the moment.
 */
final class Working {
    static final String ACTOR = "restore study";
    private static final int PIECE = 10;
    private static final int PIECES_A_SECOND = 10;

    private Working() {}

    /** @param arguments folder of the store, folder of backups, days, soils a day, seconds between two copies of the log */
    public static void main(String[] arguments) throws Exception {
        Path folder = Path.of(arguments[0]);
        Path backups = Path.of(arguments[1]);
        int days = Integer.parseInt(arguments[2]);
        int soils = Integer.parseInt(arguments[3]);
        Duration interval = Duration.ofSeconds(Long.parseLong(arguments[4]));
        LocalDate first = LocalDate.of(2026, 9, 1);
        try (Store store = Store.open(StoreSettings.embedded(folder), Clock.systemUTC(), new SecureRandom())) {
            long began = System.nanoTime();
            long readings = 0;
            for (int i = 0; i < days; i++) {
                Day day = Simulator.simulate(Scenario.of(100 + i, soils, first.plusDays(i)))
                        .day();
                readings += day.runs().stream()
                        .mapToLong(run -> run.readings().size())
                        .sum();
                store.take(day, first.plusDays(i), String.format("%064x", i + 1), ACTOR);
            }
            say("days", seconds(began), readings);
            began = System.nanoTime();
            try (WalArchive archive =
                    WalArchive.start(folder, backups, interval, Clock.systemUTC(), trouble -> say("trouble", 0, 0))) {
                // A whole copy is made first when there is none.
                while (archive.keptUntil().isEmpty()) {
                    TimeUnit.MILLISECONDS.sleep(200);
                }
                say("copied", seconds(began), Backups.in(backups).get(0).bytes());
                work(store, first.plusDays(days), soils, archive);
            }
        }
    }

    private static void work(Store store, LocalDate today, int soils, WalArchive archive) throws InterruptedException {
        Day day = Simulator.simulate(Scenario.of(7, soils, today)).day();
        store.take(day.withRuns(List.of()), today, "f".repeat(64), ACTOR);
        long began = System.nanoTime();
        long piece = 0;
        for (int round = 0; ; round++) {
            for (Run like : day.runs()) {
                Run run = new Run(
                        like.run() + "-" + round,
                        like.method(),
                        like.instrument(),
                        like.operator(),
                        like.startedAt(),
                        like.readings());
                for (int from = 0; from < run.readings().size(); from += PIECE) {
                    int to = Math.min(run.readings().size(), from + PIECE);
                    TimeUnit.NANOSECONDS.sleep(
                            Math.max(0, began + piece * 1_000_000_000L / PIECES_A_SECOND - System.nanoTime()));
                    store.arrivals()
                            .take(
                                    new Arrival(
                                            ACTOR,
                                            run.run() + " " + from,
                                            run.run() + " from reading " + from,
                                            Instant.now(),
                                            (run.run() + " " + from).getBytes(StandardCharsets.UTF_8),
                                            List.of(new RunPart(
                                                    run.with(run.readings().part(from, to)),
                                                    to == run.readings().size())),
                                            Optional.empty()),
                                    ACTOR);
                    store.note(ACTOR, "report-printed", "piece " + ++piece, Map.of());
                    say(
                            "stored",
                            piece,
                            archive.keptUntil().map(Instant::toEpochMilli).orElse(0L));
                }
            }
        }
    }

    static double seconds(long began) {
        return (System.nanoTime() - began) / 1e9;
    }

    private static void say(String what, double number, long other) {
        System.out.println(what + " " + number + " " + other + " " + Instant.now());
    }
}
