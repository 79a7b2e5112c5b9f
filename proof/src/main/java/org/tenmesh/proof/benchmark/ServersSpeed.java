package org.tenmesh.proof.benchmark;

import java.nio.file.Files;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.BooleanSupplier;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.core.desk.Action;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.store.Store;
import org.tenmesh.store.live.Arrival;
import org.tenmesh.store.live.RunPart;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.server.StoreSettings;
import org.tenmesh.web.Server;
import org.tenmesh.web.ServerSettings;

/**
 * Several servers on one PostgreSQL that somebody else runs: milliseconds until a reading that the first one took is in an open page of each
 * other one, and until what a person did there is. Arguments: URL, user, password, servers, readings, soils; usually 3, 50 and 300. The database
 * must be empty.
 */
public final class ServersSpeed {
    private static final String NAME = "Servers Bench";
    private static final Pattern SHOWN = Pattern.compile("data-run=\"([^\"]*)\" data-readings=\"(\\d+)\"");
    private static final Duration LONGEST = Duration.ofMinutes(2);

    private ServersSpeed() {}

    /** One server, and a page of it that is open. */
    private static final class Open {
        private final Store store;
        private final Server server;
        private final Map<String, Integer> shown = new ConcurrentHashMap<>();
        private final AtomicLong changes = new AtomicLong();

        Open(StoreSettings settings, MethodBook methods) {
            store = Store.open(settings, Clock.systemUTC(), new SecureRandom());
            server = Server.start(ServerSettings.local(0), store, methods, Clock.systemUTC());
        }

        void listen() throws Exception {
            new OpenPage(server.address(), server.oneTimeLink(NAME, Duration.ofMinutes(10))).listen((event, says) -> {
                Matcher card = SHOWN.matcher(says);
                if (event.equals("run") && card.find()) {
                    shown.merge(card.group(1), Integer.parseInt(card.group(2)), Math::max);
                } else if (event.isEmpty()) {
                    changes.incrementAndGet();
                }
            });
        }
    }

    public static void main(String[] arguments) throws Exception {
        Path folder = Files.createTempDirectory("servers");
        StoreSettings settings =
                StoreSettings.byUrl(arguments[0], arguments[1], arguments[2], folder.resolve("secrets"));
        int servers = arguments.length > 3 ? Integer.parseInt(arguments[3]) : 3;
        int readings = arguments.length > 4 ? Integer.parseInt(arguments[4]) : 50;
        int soils = arguments.length > 5 ? Integer.parseInt(arguments[5]) : 300;
        MethodBook methods = MethodFiles.shipped();
        Day day = Simulator.simulate(
                        Scenario.of(7, soils, LocalDate.of(2026, 11, 25)).with(Fault.of(CauseKind.CONTROL_FAILED)))
                .day();
        Run last = day.runs().get(day.runs().size() - 1);
        List<Open> all = new ArrayList<>();
        all.add(new Open(settings, methods));
        Open first = all.get(0);
        first.store.take(day.withRuns(day.runs().subList(0, day.runs().size() - 1)), "0".repeat(64), "benchmark");
        first.store
                .people()
                .add(new Person(NAME, PersonRole.IN_CHARGE, Server.passwordHash("seven plain words")), "benchmark");
        while (all.size() < servers) {
            all.add(new Open(settings, methods));
        }
        for (Open one : all) {
            one.listen();
        }
        Thread.sleep(10_000);
        List<Long> taken = new ArrayList<>();
        for (int i = 1; i <= readings; i++) {
            int count = 10 * i;
            long began = System.nanoTime();
            first.store.arrivals().take(arrival(last, count), "benchmark");
            for (Open one : all.subList(1, all.size())) {
                until(() -> one.shown.getOrDefault(last.run(), 0) >= count);
                taken.add(System.nanoTime() - began);
            }
        }
        print("a reading taken by one server is in a page of another after", taken);
        String name = first.store.days(1).get(0).name();
        Cause cause = first.store
                .judgement(name)
                .map(kept -> kept.judged().causes().get(0))
                .orElseThrow();
        Thread.sleep(10_000);
        List<Long> before = all.stream().map(one -> one.changes.get()).toList();
        long began = System.nanoTime();
        first.store.act(name, Grounds.of(cause), Action.ORDER_REDO, "benchmark", NAME, Instant.now());
        List<Long> acted = new ArrayList<>();
        for (int i = 1; i < all.size(); i++) {
            int at = i;
            until(() -> all.get(at).changes.get() > before.get(at));
            acted.add(System.nanoTime() - began);
        }
        print("an act on one server is told to pages of another after", acted);
        System.exit(0);
    }

    private static Arrival arrival(Run run, int count) {
        return new Arrival(
                "benchmark",
                run.run() + " " + count,
                run.run(),
                Instant.now(),
                new byte[] {(byte) count},
                List.of(new RunPart(run.with(run.readings().part(count - 10, count)), false)),
                Optional.empty());
    }

    private static void until(BooleanSupplier holds) throws InterruptedException {
        long end = System.nanoTime() + LONGEST.toNanos();
        while (!holds.getAsBoolean()) {
            if (System.nanoTime() > end) {
                throw new IllegalStateException("not shown within " + LONGEST);
            }
            Thread.sleep(1);
        }
    }

    private static void print(String what, List<Long> nanos) {
        long[] sorted = nanos.stream().mapToLong(Long::longValue).sorted().toArray();
        System.out.printf(
                Locale.ROOT,
                "%s: median %.1f ms, longest %.1f ms of %d%n",
                what,
                sorted[sorted.length / 2] / 1e6,
                Arrays.stream(sorted).max().orElse(0) / 1e6,
                sorted.length);
    }
}
