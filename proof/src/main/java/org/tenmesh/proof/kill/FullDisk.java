package org.tenmesh.proof.kill;

import java.nio.file.FileStore;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.TreeSet;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.store.Store;
import org.tenmesh.store.live.Arrival;
import org.tenmesh.store.live.RunPart;
import org.tenmesh.store.server.StoreSettings;

/**
 * The disk under the database gets full while readings arrive: what was acknowledged is there afterwards, what was refused is taken when it is
 * sent again after space was made, and the journal fits. Argument: a folder on a small file system of its own (300 to 500 MB, such as a memory
 * file system), which is filled to the last byte. Prints what happened; exit status 1 when something acknowledged is lost or stored otherwise.
 */
public final class FullDisk {
    private static final String SOURCE = "full-disk";
    private static final int BALLAST_MEGABYTES = 48;
    private static final int BYTES = 1_000_000;
    private static final int PIECE = 40;

    private FullDisk() {}

    public static void main(String[] arguments) throws Exception {
        Path folder = Path.of(arguments[0]);
        FileStore disk = Files.getFileStore(folder);
        if (disk.getUsableSpace() > 2_000_000_000L) {
            throw new IllegalArgumentException(folder + " has " + disk.getUsableSpace() / 1_000_000
                    + " MB left; expected a small file system of its own, because it is filled");
        }
        Path ballast = folder.resolve("ballast");
        Files.write(ballast, new byte[BALLAST_MEGABYTES * 1_000_000]);
        Day day = Simulator.simulate(Scenario.of(7, 120, LocalDate.of(2026, 11, 25)))
                .day();
        Run run = day.runs().get(0);
        Map<Arrival, Integer> acknowledged = new LinkedHashMap<>();
        int lost;
        try (Store store = open(folder)) {
            store.take(day.withRuns(List.of()), "0".repeat(64), SOURCE);
            Arrival refused = fill(store, run, acknowledged);
            say("%d arrivals acknowledged; %d MB left", acknowledged.size(), disk.getUsableSpace() / 1_000_000);
            again(store, refused, "while the disk is full");
            Files.delete(ballast);
            say("space made: %d MB left", disk.getUsableSpace() / 1_000_000);
            boolean taken = false;
            for (int tries = 0; tries < 30 && !taken; tries++) {
                taken = again(store, refused, "after space was made");
                if (!taken) {
                    Thread.sleep(2_000);
                }
            }
            if (taken) {
                acknowledged.put(refused, acknowledged.size());
            }
            lost = compare(store, run, acknowledged);
            say("the store goes on without a new start: %s", taken ? "yes" : "no");
        }
        try (Store store = open(folder)) {
            lost += compare(store, run, acknowledged);
            say("after a new start: %s", store.verifyJournal().finding());
            lost += store.verifyJournal().firstBroken().isPresent() ? 1 : 0;
        }
        System.exit(lost == 0 ? 0 : 1);
    }

    private static Store open(Path folder) {
        return Store.open(StoreSettings.embedded(folder.resolve("database")), Clock.systemUTC(), new SecureRandom());
    }

    /** Sends until something is not taken, and returns that. */
    private static Arrival fill(Store store, Run run, Map<Arrival, Integer> acknowledged) {
        Random random = new Random(1);
        for (int i = 0; ; i++) {
            byte[] bytes = new byte[BYTES];
            random.nextBytes(bytes);
            int from = i * PIECE;
            int to = Math.min(run.readings().size() - 1, from + PIECE);
            List<RunPart> parts =
                    from < to ? List.of(new RunPart(run.with(run.readings().part(from, to)), false)) : List.of();
            Arrival arrival = new Arrival(
                    SOURCE,
                    "piece " + i,
                    "piece " + i,
                    Instant.now(),
                    bytes,
                    parts,
                    parts.isEmpty() ? Optional.of("nothing but bytes") : Optional.empty());
            if (!again(store, arrival, "piece " + i)) {
                return arrival;
            }
            acknowledged.put(arrival, i);
        }
    }

    private static boolean again(Store store, Arrival arrival, String when) {
        try {
            store.arrivals().take(arrival, SOURCE);
            return true;
        } catch (RuntimeException notTaken) {
            say(
                    "%s not taken: %s",
                    when,
                    String.valueOf(notTaken.getMessage()).lines().findFirst().orElse(""));
            return false;
        }
    }

    /** How many acknowledged arrivals are not there as they were sent. */
    private static int compare(Store store, Run run, Map<Arrival, Integer> acknowledged) {
        TreeSet<Integer> wrong = new TreeSet<>();
        acknowledged.forEach((arrival, place) -> {
            Optional<byte[]> kept = store.arrivals().bytes(SOURCE, arrival.key());
            if (kept.filter(bytes -> Arrays.equals(bytes, arrival.bytes())).isEmpty()) {
                wrong.add(place);
            }
        });
        int sent = acknowledged.keySet().stream()
                .flatMap(arrival -> arrival.parts().stream())
                .mapToInt(part -> part.run().readings().size())
                .sum();
        Readings kept = store.arrivalRecord().underWay(run.run()).orElseThrow().readings();
        boolean same = kept.size() == sent;
        for (int i = 0; i < kept.size() && same; i++) {
            same = row(kept, i).equals(row(run.readings(), i));
        }
        say(
                "%d acknowledged arrivals compared, %d not there as sent; readings sent %d, kept %d, %s",
                acknowledged.size(), wrong.size(), sent, kept.size(), same ? "the same" : "NOT the same");
        return wrong.size() + (same ? 0 : 1);
    }

    private static List<Object> row(Readings readings, int i) {
        return List.of(
                readings.position(i),
                readings.role(i),
                readings.identity(i),
                readings.channel(i),
                readings.quantity(i),
                readings.value(i),
                readings.unit(i),
                readings.atMillis(i),
                readings.offsetSeconds(i),
                readings.dilution(i));
    }

    private static void say(String format, Object... values) {
        System.out.printf(Locale.ROOT, format + "%n", values);
    }
}
