package org.tenmesh.proof.benchmark;

import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.Clock;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.Executors;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.store.Store;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.server.StoreSettings;
import org.tenmesh.web.Server;
import org.tenmesh.web.ServerSettings;

/**
 * Pages of a large day asked for at a steady rate by one process that also serves them: errors, times from the moment a request was due,
 * sizes and the heap. Beside them, in the same run and at the same rate, a file that needs no day: the style sheet. Arguments: requests a
 * second, seconds, soils; usually 200, 60 and 4,000. Each page is first asked for a few seconds without being counted.
 */
public final class PageLoad {
    private static final String NAME = "Load Bench";
    private static final int WARM_SECONDS = 10;

    private final SignedIn person;
    private final AtomicLong mostUsed = new AtomicLong();

    private PageLoad(SignedIn person) {
        this.person = person;
    }

    /** What came back: nanoseconds since it was due, and its size; a size below 0 is an error. */
    private record Answered(String kind, long nanos, long bytes) {}

    public static void main(String[] arguments) throws IOException, InterruptedException {
        int rate = arguments.length > 0 ? Integer.parseInt(arguments[0]) : 200;
        int seconds = arguments.length > 1 ? Integer.parseInt(arguments[1]) : 60;
        int soils = arguments.length > 2 ? Integer.parseInt(arguments[2]) : 4_000;
        Path folder = Files.createTempDirectory("load").resolve("database");
        Day day = Simulator.simulate(Scenario.of(7, soils, LocalDate.of(2026, 11, 25)))
                .day();
        try (Store store = Store.open(StoreSettings.embedded(folder), Clock.systemUTC(), new SecureRandom())) {
            String taken = store.take(day, "0".repeat(64), "benchmark").day();
            store.people()
                    .add(new Person(NAME, PersonRole.IN_CHARGE, Server.passwordHash("seven plain words")), "benchmark");
            try (Server server =
                    Server.start(ServerSettings.local(0), store, MethodFiles.shipped(), Clock.systemUTC())) {
                PageLoad load = new PageLoad(SignedIn.of(server, NAME));
                List<String> pages = pages(day, taken);
                load.ask(pages, rate, WARM_SECONDS, soils);
                print("pages", load.ask(pages, rate, seconds, soils));
                print(
                        "style sheet",
                        load.ask(List.of("styles " + load.person.styles()), rate, Math.max(5, seconds / 4), soils));
                System.out.printf(
                        Locale.ROOT,
                        "heap: at most %d MB used when looked at, of %d MB; server, database client and generator in one process%n",
                        load.mostUsed.get() >> 20,
                        Runtime.getRuntime().maxMemory() >> 20);
            }
        }
    }

    /** The addresses that the links of the pages lead to. */
    private static List<String> pages(Day day, String taken) {
        String of = "/days/" + taken;
        List<String> pages = new ArrayList<>();
        day.runs().forEach(run -> pages.add("run " + of + "/runs/" + run.run()));
        int runs = pages.size();
        day.soils().stream().limit(runs).forEach(soil -> pages.add("soil " + of + "/soils/" + soil.labNumber()));
        for (int i = 0; i < runs; i++) {
            pages.add("today /today");
        }
        return pages;
    }

    private List<Answered> ask(List<String> pages, int rate, int seconds, int seed) throws InterruptedException {
        ConcurrentLinkedQueue<Answered> answered = new ConcurrentLinkedQueue<>();
        List<CompletableFuture<Void>> open = new ArrayList<>();
        Random chance = new Random(seed);
        var clock = Executors.newSingleThreadScheduledExecutor();
        clock.scheduleAtFixedRate(this::lookAtHeap, 0, 100, TimeUnit.MILLISECONDS);
        long begin = System.nanoTime();
        for (long i = 0; i < (long) rate * seconds; i++) {
            String[] page = pages.get(chance.nextInt(pages.size())).split(" ", 2);
            long due = begin + i * 1_000_000_000L / rate;
            CompletableFuture<Void> done = new CompletableFuture<>();
            open.add(done);
            clock.schedule(
                    () -> {
                        person.ask(page[1]).whenComplete((answer, failed) -> {
                            boolean right = failed == null && answer.statusCode() == 200;
                            answered.add(
                                    new Answered(page[0], System.nanoTime() - due, right ? answer.body().length : -1));
                            done.complete(null);
                        });
                    },
                    due - System.nanoTime(),
                    TimeUnit.NANOSECONDS);
        }
        CompletableFuture.allOf(open.toArray(new CompletableFuture<?>[0])).join();
        clock.shutdownNow();
        return List.copyOf(answered);
    }

    private void lookAtHeap() {
        long used = ManagementFactory.getMemoryMXBean().getHeapMemoryUsage().getUsed();
        mostUsed.accumulateAndGet(used, Math::max);
    }

    private static void print(String what, List<Answered> answers) {
        Map<String, List<Answered>> kinds = new TreeMap<>();
        answers.forEach(one ->
                kinds.computeIfAbsent(one.kind(), kind -> new ArrayList<>()).add(one));
        kinds.put("all", answers);
        kinds.forEach((kind, those) -> {
            long[] sorted = those.stream().mapToLong(Answered::nanos).sorted().toArray();
            long[] sizes = those.stream()
                    .mapToLong(Answered::bytes)
                    .filter(size -> size >= 0)
                    .toArray();
            System.out.printf(
                    Locale.ROOT,
                    "%-12s %-6s %6d requests, %d errors, median %.1f ms, p99 %.1f ms, longest %.1f ms, mean size %.0f kB%n",
                    what,
                    kind,
                    those.size(),
                    those.size() - sizes.length,
                    sorted[sorted.length / 2] / 1e6,
                    sorted[(int) (sorted.length * 0.99)] / 1e6,
                    sorted[sorted.length - 1] / 1e6,
                    Arrays.stream(sizes).average().orElse(0) / 1000);
        });
    }
}
