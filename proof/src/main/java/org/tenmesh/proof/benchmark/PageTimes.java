package org.tenmesh.proof.benchmark;

import java.io.IOException;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.Clock;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Deque;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Options;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.store.Store;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.server.StoreSettings;
import org.tenmesh.web.Server;
import org.tenmesh.web.ServerSettings;

/**
 * How long each page takes: every page that a link leads to from the first one, for each role, two addresses of a kind, each asked for three times
 * and then ten times alone, the median of the ten. Arguments: soils of the newest day, on which every method is asked for; earlier days;
 * soils of each of those. Usually 4,000, 60 and 400. Pages that are slow are printed first. Beside them, in the same run, the style sheet.
 */
public final class PageTimes {
    private static final Pattern LINK = Pattern.compile("href=\"(/[^\"#?]*)(?=[\"#?])");
    /** What leaves no page or ends the session. */
    private static final Set<String> NOT_ASKED = Set.of("assets", "out", "api", "live", "look", "events");

    private static final int ADDRESSES = 2;
    private static final int WARM = 3;
    private static final int COUNTED = 10;

    private PageTimes() {}

    private record Time(String kind, String address, PersonRole role, double medianMs, double longestMs, int bytes) {}

    public static void main(String[] arguments) throws IOException, InterruptedException {
        int soils = arguments.length > 0 ? Integer.parseInt(arguments[0]) : 4_000;
        int earlier = arguments.length > 1 ? Integer.parseInt(arguments[1]) : 60;
        int fewer = arguments.length > 2 ? Integer.parseInt(arguments[2]) : 400;
        LocalDate newest = LocalDate.of(2026, 11, 25);
        Path folder = Files.createTempDirectory("times").resolve("database");
        try (Store store = Store.open(StoreSettings.embedded(folder), Clock.systemUTC(), new SecureRandom())) {
            for (int i = earlier; i > 0; i--) {
                LocalDate date = newest.minusDays(i);
                store.take(
                        Simulator.simulate(Scenario.of(100 + i, fewer, date)).day(),
                        date,
                        String.format(Locale.ROOT, "%064x", i),
                        "benchmark");
            }
            store.take(
                    Simulator.simulate(Scenario.of(7, soils, newest)
                                    .with(new Options(false, false, 4, ZoneId.of("Europe/Berlin"), true)))
                            .day(),
                    newest,
                    "f".repeat(64),
                    "benchmark");
            for (PersonRole role : PersonRole.values()) {
                store.people().add(new Person(name(role), role, Server.passwordHash("seven plain words")), "benchmark");
            }
            try (Server server =
                    Server.start(ServerSettings.local(0), store, MethodFiles.shipped(), Clock.systemUTC())) {
                List<Time> times = new ArrayList<>();
                Set<String> timed = new HashSet<>();
                SignedIn last = null;
                for (PersonRole role : PersonRole.values()) {
                    SignedIn person = SignedIn.of(server, name(role));
                    for (Map.Entry<String, List<String>> kind : linked(person).entrySet()) {
                        if (timed.add(kind.getKey())) {
                            for (String address : kind.getValue()) {
                                times.add(time(person, role, kind.getKey(), address));
                            }
                        }
                    }
                    last = person;
                }
                times.sort((a, b) -> Double.compare(b.medianMs(), a.medianMs()));
                times.forEach(PageTimes::print);
                if (last != null) {
                    print(time(last, PersonRole.IN_CHARGE, "style sheet", last.styles()));
                }
            }
        }
    }

    private static String name(PersonRole role) {
        return "Invented " + role.word();
    }

    /** Addresses by kind, of all pages that links lead to. */
    private static Map<String, List<String>> linked(SignedIn person) {
        Map<String, List<String>> kinds = new TreeMap<>();
        Deque<String> open = new ArrayDeque<>(List.of("/"));
        Set<String> seen = new HashSet<>(open);
        while (!open.isEmpty()) {
            String address = open.remove();
            List<String> same = kinds.computeIfAbsent(kind(address), its -> new ArrayList<>());
            if (same.size() >= ADDRESSES) {
                continue;
            }
            HttpResponse<byte[]> answer = person.ask(address).join();
            boolean page = answer.headers()
                    .firstValue("Content-Type")
                    .filter(type -> type.startsWith("text/html"))
                    .isPresent();
            if (answer.statusCode() != 200 || !page) {
                continue;
            }
            if (!address.equals("/")) {
                same.add(address);
            }
            Matcher link = LINK.matcher(new String(answer.body(), StandardCharsets.UTF_8));
            while (link.find()) {
                String to = link.group(1).replace("&amp;", "&");
                if (!NOT_ASKED.contains(to.split("/", -1)[1]) && seen.add(to)) {
                    open.add(to);
                }
            }
        }
        kinds.values().removeIf(List::isEmpty);
        return kinds;
    }

    /** An address without the names in it. */
    private static String kind(String address) {
        String[] words = address.split("/", -1);
        StringBuilder kind = new StringBuilder();
        for (int i = 1; i < words.length; i++) {
            boolean name = i == 2 && (words[1].equals("days") || words[1].equals("methods"));
            boolean word = words[i].matches("[a-z-]+") && !name;
            kind.append('/').append(word ? words[i] : "*");
        }
        return kind.toString();
    }

    private static Time time(SignedIn person, PersonRole role, String kind, String address) {
        double[] ms = new double[COUNTED];
        int bytes = 0;
        for (int i = -WARM; i < COUNTED; i++) {
            long began = System.nanoTime();
            HttpResponse<byte[]> answer = person.ask(address).join();
            if (answer.statusCode() != 200) {
                throw new IllegalStateException(address + " gave " + answer.statusCode());
            }
            if (i >= 0) {
                ms[i] = (System.nanoTime() - began) / 1e6;
            }
            bytes = answer.body().length;
        }
        Arrays.sort(ms);
        return new Time(kind, address, role, (ms[COUNTED / 2 - 1] + ms[COUNTED / 2]) / 2, ms[COUNTED - 1], bytes);
    }

    private static void print(Time time) {
        System.out.printf(
                Locale.ROOT,
                "%9.1f ms  longest %9.1f ms  %8d bytes  %-12s %-36s %s%n",
                time.medianMs(),
                time.longestMs(),
                time.bytes(),
                time.role().word(),
                time.kind(),
                time.address());
    }
}
