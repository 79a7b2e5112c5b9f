package org.tenmesh.proof.power;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.TreeMap;
import java.util.stream.IntStream;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Options;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.SimulatedDay;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.simulator.instruments.ElectrodeModel;
import org.tenmesh.simulator.instruments.EmissionModel;
import org.tenmesh.simulator.instruments.HandModel;
import org.tenmesh.simulator.instruments.IgnitionModel;
import org.tenmesh.simulator.soils.Extract;

/**
 * Every kind of mistake in every method that takes it, on days of every method. Several are planted into one day, each into another method,
 * at the places that the simulator takes by itself.
 */
final class EveryMethod {
    static final int SOILS = 2_000;
    /** Mistakes of one day. */
    static final int A_DAY = 4;

    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    private static final long APART = 77_000_000_003L;

    /** Names of mistakes in the order of the table's columns, with what the simulator is asked for. */
    static final Map<String, String> MISTAKES = mistakes();

    private static final List<List<String>> COLUMNS = List.of(
            List.copyOf(MISTAKES.keySet()).subList(0, 5),
            List.copyOf(MISTAKES.keySet()).subList(5, MISTAKES.size()));

    private EveryMethod() {}

    private static Map<String, String> mistakes() {
        Map<String, String> mistakes = new LinkedHashMap<>();
        mistakes.put("tray turned", "tray-turned");
        mistakes.put("trays exchanged", "trays-exchanged");
        mistakes.put("run shifted by one", "run-shifted");
        mistakes.put("neighbours of two fields exchanged", "neighbours-exchanged,fields=different");
        mistakes.put("another client's soil", "implausible-together");
        mistakes.put("portion 40 % too large", "portion-wrong,size=0.4");
        mistakes.put("portion 40 % too small", "portion-wrong,size=-0.4");
        mistakes.put("diluted 5 times as far as recorded", "dilution-mismatch,second=no,size=5");
        mistakes.put("a standard 10 % or 0.1 pH wrong", "standard-wrong");
        mistakes.put("sensitivity drifts 10 %", "drift,total=0.1");
        mistakes.put("dead electrode", "calibration-rejected,size=0");
        mistakes.put("a probe 0.1 pH or a balance 5 mg off", "channel-bias");
        mistakes.put("a check fails", "verification-failed");
        return Collections.unmodifiableMap(mistakes);
    }

    /** What was planted and named, and found at all. */
    record Counted(Rate named, Rate found) {}

    /** All methods in the order of the table. */
    static List<String> methods() {
        List<String> methods =
                new ArrayList<>(List.of(ElectrodeModel.METHOD, IgnitionModel.METHOD, EmissionModel.METHOD));
        methods.addAll(List.of(
                "ph-water-1-2",
                "ph-cacl2",
                "ph-kcl",
                "ph-paste",
                "buffer-ph-smp",
                "buffer-ph-sikora",
                "buffer-ph-mehlich",
                "buffer-ph-adams-evans",
                "buffer-ph-woodruff"));
        Extract.ALL.forEach(extract -> methods.add(extract.method()));
        methods.addAll(HandModel.METHODS);
        return methods;
    }

    // What the simulator plants in a method: see docs/simulator.md.
    private static boolean takes(String method, String mistake) {
        boolean hand = HandModel.METHODS.contains(method);
        boolean ph = method.startsWith("ph-") || method.startsWith("buffer-ph-");
        boolean loss = method.equals(IgnitionModel.METHOD);
        boolean extract = !hand && !ph && !loss;
        return switch (mistake.split(",", -1)[0]) {
            case "portion-wrong", "dilution-mismatch", "drift" -> extract;
            case "standard-wrong", "verification-failed" -> ph || extract;
            case "calibration-rejected" -> ph;
            case "channel-bias" -> ph || loss;
            default -> true;
        };
    }

    private record Plan(String method, String mistake, String spec) {
        Fault fault() {
            String size =
                    spec.equals("channel-bias") ? method.equals(IgnitionModel.METHOD) ? ",size=5" : ",size=0.1" : "";
            return Fault.parse(spec + size + ",method=" + method);
        }
    }

    private static List<Plan> plans(String only) {
        List<Plan> plans = new ArrayList<>();
        for (String method : methods()) {
            MISTAKES.forEach((name, spec) -> {
                if (takes(method, spec) && (method + " " + name).contains(only)) {
                    plans.add(new Plan(method, name, spec));
                }
            });
        }
        return plans;
    }

    /** Faults of one day, no two in one method. */
    private static List<List<Plan>> days(List<Plan> plans, int repeats, long seed) {
        Random chance = new Random(new SplittableRandom(seed).nextLong());
        List<List<Plan>> days = new ArrayList<>();
        for (int repeat = 0; repeat < repeats; repeat++) {
            List<Plan> left = new ArrayList<>(plans);
            Collections.shuffle(left, chance);
            while (!left.isEmpty()) {
                List<Plan> day = new ArrayList<>();
                Set<String> used = new HashSet<>();
                for (Plan plan : List.copyOf(left)) {
                    if (day.size() < A_DAY && used.add(plan.method())) {
                        day.add(plan);
                        left.remove(plan);
                    }
                }
                days.add(day);
            }
        }
        return days;
    }

    /**
     * Counts, by method and mistake.
     *
     * @param only part of "METHOD MISTAKE"; empty = all
     */
    static Map<String, Map<String, Counted>> count(int repeats, long seed, String only) {
        MethodBook methods = MethodFiles.shipped();
        List<List<Plan>> days = days(plans(only), repeats, seed);
        Map<String, Map<String, int[]>> sums = new TreeMap<>();
        IntStream.range(0, days.size()).parallel().forEach(i -> {
            Map<Plan, Outcome> outcomes = day(days.get(i), seed + APART + i * 1_000_000_007L, methods);
            synchronized (sums) {
                outcomes.forEach((plan, outcome) -> {
                    int[] sum = sums.computeIfAbsent(plan.method(), method -> new TreeMap<>())
                            .computeIfAbsent(plan.mistake(), mistake -> new int[3]);
                    sum[0]++;
                    sum[1] += outcome.named() ? 1 : 0;
                    sum[2] += outcome.found() ? 1 : 0;
                });
            }
        });
        Map<String, Map<String, Counted>> counted = new LinkedHashMap<>();
        for (String method : methods()) {
            Map<String, Counted> row = new LinkedHashMap<>();
            for (String mistake : MISTAKES.keySet()) {
                int[] sum = sums.getOrDefault(method, Map.of()).get(mistake);
                if (sum != null) {
                    row.put(mistake, new Counted(new Rate(sum[1], sum[0]), new Rate(sum[2], sum[0])));
                }
            }
            if (!row.isEmpty()) {
                counted.put(method, row);
            }
        }
        return counted;
    }

    private static Map<Plan, Outcome> day(List<Plan> plans, long seed, MethodBook methods) {
        Options usual = Options.defaults();
        Options options = new Options(usual.metersGivePh(), false, usual.balanceDecimals(), usual.zone(), true)
                .withKeyWells(false);
        List<Plan> possible = new ArrayList<>(plans);
        SimulatedDay day;
        try {
            day = simulated(possible, seed, options);
        } catch (IllegalArgumentException noPlace) {
            // As where a method has no full tray on that day: what finds no place is not counted.
            possible.removeIf(plan -> !hasPlace(plan, seed, options));
            day = simulated(possible, seed, options);
        }
        List<Outcome> outcomes = Outcome.of(
                day,
                DayJudge.judge(day.day(), methods),
                methods,
                Row.Further.NONE,
                its -> DayJudge.judge(its, methods));
        Map<Plan, Outcome> by = new LinkedHashMap<>();
        for (Plan plan : possible) {
            outcomes.stream()
                    .filter(outcome -> outcome.method().equals(plan.method())
                            && outcome.kind() == plan.fault().kind())
                    .findFirst()
                    .ifPresent(outcome -> by.put(plan, outcome));
        }
        return by;
    }

    private static SimulatedDay simulated(List<Plan> plans, long seed, Options options) {
        return Simulator.simulate(
                new Scenario(seed, SOILS, plans.stream().map(Plan::fault).toList(), DATE, options));
    }

    private static boolean hasPlace(Plan plan, long seed, Options options) {
        try {
            simulated(List.of(plan), seed, options);
            return true;
        } catch (IllegalArgumentException noPlace) {
            return false;
        }
    }

    /** The table as a page: methods down, mistakes across. */
    static String page(Map<String, Map<String, Counted>> counted, Measured measured, int repeats) {
        StringBuilder page = new StringBuilder(String.format(
                Locale.ROOT,
                "# Every mistake in every method%n%n"
                        + "Days of every method, %,d soils each, no key wells, one kind of ground; %d mistakes of one day, each in another method, at the places that the simulator takes"
                        + " by itself. The first three methods were read of nearly all soils, the others of those whose package asks for them: where a run holds few soils or none of"
                        + " the other results tells of its own, little can be seen; two mistakes may meet in the same soils. A figure is how many of the planted were **named** (a cause of that kind at that place), of how many, with the"
                        + " 95 %% interval of Wilson (1927) in %% in brackets; an empty cell is a mistake that the simulator does not plant in that method.%n%n"
                        + "| | |%n|---|---|%n| program | %s, %s |%n| again | `./tenmesh power --repeats %d --soils %d --seed %d` |%n",
                SOILS,
                A_DAY,
                measured.program(),
                measured.date(),
                measured.study().repeats(),
                measured.study().soils(),
                measured.study().seed()));
        page.append("| repeats | ").append(repeats).append(" of each, fewer where a day held no place for it |\n");
        for (List<String> some : COLUMNS) {
            page.append("\n| method | ")
                    .append(String.join(" | ", some))
                    .append(" |\n|---|")
                    .append("---|".repeat(some.size()))
                    .append('\n');
            counted.forEach((method, row) -> {
                if (some.stream().anyMatch(row::containsKey)) {
                    page.append("| ").append(method).append(" |");
                    for (String mistake : some) {
                        Counted one = row.get(mistake);
                        page.append(' ')
                                .append(one == null ? "" : cell(one.named()))
                                .append(" |");
                    }
                    page.append('\n');
                }
            });
            page.append("| all |");
            for (String mistake : some) {
                int named = 0;
                int of = 0;
                for (Map<String, Counted> row : counted.values()) {
                    Counted one = row.get(mistake);
                    named += one == null ? 0 : one.named().count();
                    of += one == null ? 0 : one.named().of();
                }
                page.append(' ').append(cell(new Rate(named, of))).append(" |");
            }
            page.append('\n');
        }
        return page.toString();
    }

    private static String cell(Rate rate) {
        return rate.of() == 0
                ? ""
                : String.format(
                        Locale.ROOT,
                        "%d/%d (%.0f to %.0f)",
                        rate.count(),
                        rate.of(),
                        100 * rate.low(),
                        100 * rate.high());
    }
}
