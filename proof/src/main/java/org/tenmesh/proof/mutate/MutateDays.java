package org.tenmesh.proof.mutate;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import org.tenmesh.exchange.day.DayFolder;
import org.tenmesh.proof.arguments.Arguments;
import org.tenmesh.proof.arguments.Watched;
import org.tenmesh.simulator.Options;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.SimulatedDay;
import org.tenmesh.simulator.Simulator;

/** Makes mistakes in days, one a day, and tells what the program says of each: {@code ./tenmesh mutate}. */
public final class MutateDays {
    private static final Set<String> KEYS = Set.of(
            "count", "seed", "soils", "only", "repeat", "failing", "out", "example", "seconds", "progress", "table");
    private static final String USAGE =
            "tenmesh mutate [--count 1000] [--seed 1] [--soils 60] [--only REGEX] [--failing FILE]"
                    + " [--repeat FILE] [--out FILE]";
    private static final int SEEDS_WITHOUT_A_NEW_METHOD = 15;
    private static final java.time.LocalDate DATE = java.time.LocalDate.of(2026, 11, 25);

    private MutateDays() {}

    /** Ends with 0 when nothing crashed, hung, was half written or vanished, with 1 when something did, with 2 for wrong arguments. */
    public static void main(String[] arguments) throws IOException {
        Optional<Map<String, String>> given = Arguments.of(arguments, KEYS);
        if (given.isEmpty()) {
            System.err.println("usage: " + USAGE);
            System.exit(2);
            return;
        }
        System.exit(run(given.get()));
    }

    private static int run(Map<String, String> given) throws IOException {
        long seed = Long.parseLong(given.getOrDefault("seed", "1"));
        int count = Integer.parseInt(given.getOrDefault("count", "1000"));
        int soils = Integer.parseInt(given.getOrDefault("soils", "60"));
        Path work = Files.createTempDirectory("tenmesh-mutate-");
        try {
            if (given.containsKey("table")) {
                return table(new Trial(work, 30), Path.of(given.get("table")));
            }
            Map<String, Folder> days =
                    days(seed, soils, Optional.ofNullable(given.get("example")).map(Path::of));
            Trial trial = new Trial(work, Integer.parseInt(given.getOrDefault("seconds", "30")));
            Map<String, Trial.Base> bases = new LinkedHashMap<>();
            for (Map.Entry<String, Folder> day : days.entrySet()) {
                bases.put(day.getKey(), trial.base(day.getValue()));
            }
            List<Mutation> mutations = given.containsKey("repeat")
                    ? Files.readAllLines(Path.of(given.get("repeat"))).stream()
                            .filter(line -> !line.isBlank())
                            .map(line -> Mutation.parse(line.split("\t", -1)[0]))
                            .toList()
                    : some(days, seed, count, Optional.ofNullable(given.get("only")));
            Tally tally = new Tally(seed, soils, days.keySet());
            long since = System.nanoTime();
            Watched watched = new Watched(given.containsKey("progress"));
            for (Mutation mutation : mutations) {
                Trial.Base base = bases.get(mutation.day());
                if (base == null) {
                    throw new IOException("no day " + mutation.day() + " among " + bases.keySet());
                }
                Optional<Folder> changed = mutation.in(base.folder());
                if (changed.isPresent()) {
                    String line = tally.add(mutation, trial.run(base, changed.get()));
                    if (given.containsKey("out")) {
                        Files.writeString(
                                Path.of(given.get("out")),
                                line + "\n",
                                StandardOpenOption.CREATE,
                                StandardOpenOption.APPEND);
                    }
                }
                watched.doing(tally.count() + " of " + mutations.size() + " days");
            }
            watched.done();
            System.out.print(tally.text());
            System.out.printf(Locale.ROOT, "%d days in %.0f s%n", tally.count(), (System.nanoTime() - since) / 1e9);
            if (given.containsKey("failing")) {
                Files.write(Path.of(given.get("failing")), tally.failing());
            }
            return tally.good() ? 0 : 1;
        } finally {
            Folder.remove(work);
        }
    }

    private static int table(Trial trial, Path page) throws IOException {
        Trial.Base base = trial.base(smallDay());
        List<MistakeTable.Line> lines =
                MistakeTable.lines(trial, base, MistakeTable.mutations("small", base.folder(), 1));
        Files.writeString(page, MistakeTable.page(lines));
        return 0;
    }

    /** The day of the table. */
    static Folder smallDay() throws IOException {
        return folder(Simulator.simulate(Scenario.of(1, 24, DATE)));
    }

    /** As many mistakes as asked for, all different; those of one list come before any is made with another seed. */
    static List<Mutation> some(Map<String, Folder> days, long seed, int count, Optional<String> only) {
        List<Mutation> some = new ArrayList<>();
        Random chance = new Random(seed);
        for (long round = 0; some.size() < count; round++) {
            List<Mutation> all = new ArrayList<>();
            for (Map.Entry<String, Folder> day : days.entrySet()) {
                for (Mutation one : Mutation.all(day.getKey(), day.getValue(), seed * 1000 + round)) {
                    if (only.isEmpty() || one.written().matches(".*(" + only.get() + ").*")) {
                        all.add(one);
                    }
                }
            }
            Collections.shuffle(all, chance);
            int before = some.size();
            for (int i = 0; i < all.size() && some.size() < count; i++) {
                Folder folder = days.get(all.get(i).day());
                if (folder != null && all.get(i).in(folder).isPresent()) {
                    some.add(all.get(i));
                }
            }
            if (some.size() == before) {
                return some;
            }
        }
        return some;
    }

    /** A day of the three methods and as many as it takes to have every method that the simulator reads, and an example from elsewhere. */
    static Map<String, Folder> days(long seed, int soils, Optional<Path> example) throws IOException {
        Map<String, Folder> days = new LinkedHashMap<>();
        days.put("three", folder(Simulator.simulate(Scenario.of(seed, soils, DATE))));
        Set<String> read = new HashSet<>();
        Options every = new Options(false, false, 4, Options.defaults().zone(), true);
        int without = 0;
        for (long one = seed; without < SEEDS_WITHOUT_A_NEW_METHOD; one++) {
            Scenario scenario = new Scenario(one, soils, List.of(), DATE, every);
            SimulatedDay day = Simulator.simulate(scenario);
            boolean fresh = false;
            for (var run : day.day().runs()) {
                fresh |= read.add(run.method());
            }
            without = fresh ? 0 : without + 1;
            if (fresh) {
                days.put("every-" + one, folder(day));
            }
        }
        if (example.isPresent()) {
            days.put("example", Folder.read(example.get()));
        }
        return days;
    }

    private static Folder folder(SimulatedDay day) throws IOException {
        Path path = Files.createTempDirectory("tenmesh-day-");
        try {
            DayFolder.write(day.day(), path);
            return Folder.read(path);
        } finally {
            Folder.remove(path);
        }
    }
}
