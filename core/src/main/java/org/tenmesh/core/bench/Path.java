package org.tenmesh.core.bench;

import static org.tenmesh.core.methods.MethodDescription.Text.number;

import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.layout.Portions;
import org.tenmesh.core.methods.BenchStep;
import org.tenmesh.core.methods.BenchStep.Doing;
import org.tenmesh.core.methods.Method;

/**
 * The way of one portion from the well to its instruments, or of a rack from the dock to its trays: steps in their order.
 *
 * @param name of the portion; {@code rack} before layout
 * @param title for people
 * @param since what was done before this moment does not count: when the portion was ordered again; {@link Instant#MIN} for the first time
 */
public record Path(String name, String title, List<Step> steps, Instant since) {
    /** Usual time on the racks (common practice: overnight, at no more than 40 °C). */
    public static final Duration DRYING = Duration.ofHours(16);

    private static final String DUST =
            "Dry soil gives off dust with fine quartz: work under extraction, wipe wet, never sweep dry. Local exposure limits hold.";

    public Path {
        steps = List.copyOf(steps);
    }

    /** Whether it was ordered again. */
    public boolean again() {
        return since.isAfter(Instant.MIN);
    }

    /** The way before layout. */
    public static Path beforeLayout() {
        return new Path(
                "rack",
                "Before layout",
                List.of(
                        step(
                                "rack",
                                Doing.DRY,
                                "At most 40 °C",
                                "spread thin; regulated soil apart",
                                DRYING,
                                List.of(DUST)),
                        step(
                                "rack",
                                Doing.GRIND,
                                "Below 2 mm",
                                "all of it through the sieve; clean the mill between submissions, regulated soil last",
                                Duration.ZERO,
                                List.of(DUST, "Guards shut, hearing protection on, no hands in the mill.")),
                        step(
                                "rack",
                                Doing.LAY_OUT,
                                "In the order of the rack",
                                "scan each soil, then each tray; the cut corner up left",
                                Duration.ZERO,
                                List.of(DUST))),
                Instant.MIN);
    }

    private static Step step(
            String portion, Doing doing, String big, String what, Duration lasts, List<String> cautions) {
        return new Step(portion + "." + doing.word(), doing, big, what, lasts, Optional.empty(), cautions);
    }

    /** The way of a portion for the first time. */
    public static Path of(Portions.Taken portion) {
        return of(portion, Instant.MIN);
    }

    /** The way of a portion that was ordered again, or spilt, at this moment. */
    public static Path again(Portions.Taken portion, Instant since) {
        return of(portion, since);
    }

    /** The same with a look at the tray before anything is taken from it. */
    public Path withLook() {
        List<Step> looked = new ArrayList<>();
        looked.add(new Step(
                "again." + name + ".look",
                Doing.LOOK,
                Doing.LOOK.phrase(),
                "the key well where it belongs, every soil in its well",
                Duration.ZERO,
                Optional.empty(),
                List.of()));
        looked.addAll(steps);
        return new Path(name, title, looked, since);
    }

    /**
     * The same for a tray that was dumped: its soils are fetched from the shelf first.
     *
     * @param where the boxes and their places, such as {@code B-000012 at P-A1-03}
     * @param what which soils are not there, or anything else that the hand needs
     */
    public Path fromShelf(String where, String what) {
        List<Step> fetched = new ArrayList<>();
        fetched.add(new Step(
                "again." + name + "." + Doing.FETCH.word(),
                Doing.FETCH,
                where,
                what,
                Duration.ZERO,
                Optional.empty(),
                List.of(DUST)));
        fetched.addAll(steps);
        return new Path(name, title, fetched, since);
    }

    /**
     * Kept extracts that are read once more, and diluted first where that is more than one time. Nothing is taken from a well.
     *
     * @param dilution how many times; 1 = not
     */
    public static Path readAgain(Portions.Taken portion, Instant since, double dilution) {
        Path whole = of(portion, since);
        List<Step> steps = new ArrayList<>();
        if (dilution > 1) {
            steps.add(new Step(
                    "again." + portion.name() + ".dilute",
                    Doing.DILUTE,
                    number(dilution) + " times",
                    "the wells that are marked, with extractant",
                    Duration.ZERO,
                    Optional.empty(),
                    portion.methods().get(0).head().cautions()));
        }
        whole.steps().stream().filter(Step::reads).forEach(steps::add);
        return new Path(portion.name(), whole.title(), steps, since);
    }

    /**
     * What the methods of the portion share comes first and once, each step as long as the longest of them asks; then each method's own steps
     * and its reading, in the order of the methods. An extract is filtered or drawn off once for all of them.
     */
    private static Path of(Portions.Taken portion, Instant since) {
        Method first = portion.methods().get(0);
        List<BenchStep> shared = shared(portion.methods());
        List<Step> steps = new ArrayList<>();
        Map<String, Integer> used = new HashMap<>();
        String prefix = (since.isAfter(Instant.MIN) ? "again." : "") + portion.name() + ".";
        boolean scooped = first.soilTaken().isEmpty() || shared.stream().anyMatch(s -> s.doing() == Doing.SCOOP);
        for (BenchStep step : shared) {
            if (!scooped && step.doing() != Doing.WEIGH_EMPTY) {
                add(steps, used, prefix, scoop(first), Optional.empty(), first);
                scooped = true;
            }
            add(steps, used, prefix, step, Optional.empty(), first);
        }
        if (!scooped) {
            add(steps, used, prefix, scoop(first), Optional.empty(), first);
        }
        Set<Doing> once = new HashSet<>();
        steps.forEach(step -> once.add(step.doing()));
        for (Method method : portion.methods()) {
            boolean read = false;
            for (BenchStep step : method.benchSteps()) {
                boolean extract = step.doing() == Doing.FILTER || step.doing() == Doing.DRAW_OFF;
                if (step.own() && !(extract && !once.add(step.doing()))) {
                    add(steps, used, prefix, step, Optional.of(method.id()), method);
                    read |= step.doing() == Doing.READ;
                }
            }
            if (!read) {
                BenchStep reading = new BenchStep(Doing.READ, method.head().title(), Duration.ZERO, true);
                add(steps, used, prefix, reading, Optional.of(method.id()), method);
            }
        }
        Set<String> titles = new LinkedHashSet<>();
        portion.methods().forEach(method -> titles.add(method.head().title()));
        return new Path(portion.name(), String.join(", then ", titles), steps, since);
    }

    private static BenchStep scoop(Method method) {
        return new BenchStep(Doing.SCOOP, method.soilTaken(), Duration.ZERO, false);
    }

    /** The steps that are done once for all: those of the method with most of them, and what others ask besides; the longest time of each. */
    private static List<BenchStep> shared(List<Method> methods) {
        List<BenchStep> shared = new ArrayList<>();
        for (Method method : methods) {
            for (BenchStep step : withLiquid(method)) {
                int at = -1;
                for (int i = 0; i < shared.size(); i++) {
                    if (shared.get(i).doing() == step.doing() && !twice(method, step.doing())) {
                        at = i;
                    }
                }
                if (at < 0) {
                    shared.add(step);
                } else if (step.lasts().compareTo(shared.get(at).lasts()) > 0) {
                    shared.set(at, step);
                }
            }
        }
        return shared;
    }

    /** Whether a method does the same thing twice before it reads: two steps then, not one that is shared. */
    private static boolean twice(Method method, Doing doing) {
        return method.benchSteps().stream()
                        .filter(step -> !step.own() && step.doing() == doing)
                        .count()
                > 1;
    }

    private static List<BenchStep> withLiquid(Method method) {
        List<BenchStep> steps = new ArrayList<>();
        List<BenchStep> said =
                method.benchSteps().stream().filter(step -> !step.own()).toList();
        if (method.pouredMl() > 0 && said.stream().noneMatch(step -> step.doing() == Doing.POUR)) {
            String liquid = method.head().liquid();
            steps.add(new BenchStep(
                    Doing.POUR,
                    number(method.pouredMl()) + " mL " + (liquid.isEmpty() ? "water" : liquid),
                    Duration.ZERO,
                    false));
        }
        steps.addAll(said);
        return steps;
    }

    private static void add(
            List<Step> steps,
            Map<String, Integer> used,
            String prefix,
            BenchStep step,
            Optional<String> method,
            Method cautioned) {
        String key =
                prefix + method.map(id -> id + ".").orElse("") + step.doing().word();
        int times = used.merge(key, 1, Integer::sum);
        boolean timed = !step.lasts().isZero();
        boolean named = step.doing() == Doing.SCOOP || step.doing() == Doing.POUR;
        steps.add(new Step(
                times > 1 ? key + "-" + times : key,
                step.doing(),
                timed ? time(step.lasts()) : named ? step.what() : step.doing().phrase(),
                named ? "" : step.what(),
                step.lasts(),
                method,
                cautioned.head().cautions()));
    }

    /** A time as large as the hand needs it: "5 min", "16 h". */
    public static String time(Duration lasts) {
        long seconds = lasts.toSeconds();
        if (seconds % 3600 == 0) {
            return seconds / 3600 + " h";
        }
        return seconds % 60 == 0 ? seconds / 60 + " min" : seconds + " s";
    }
}
