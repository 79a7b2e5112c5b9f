package org.tenmesh.core.planning;

import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.SplittableRandom;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.judgement.Standard;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.orders.RunOrder.Place;
import org.tenmesh.core.reduction.Role;

/**
 * Makes the next run order of an instrument: what the laboratory reads before the first soil, then soils with checks, control soils, washes
 * and duplicates at the intervals of the policy, and at the end what closes the last stretch. The gates and the interval that it goes by are
 * those that the judge asks for ({@link Method#requiredGates}, {@link Setting#CHECK_INTERVAL_SOILS}); an order that would lack one is not made.
 *
 * <p>Pure: the same arguments give the same order.
 */
public final class NextRun {
    /**
     * What came of it.
     *
     * @param order empty when none was made
     * @param left how many vessels wait that the order has no room for
     * @param refused why no order was made, one sentence each; empty when one was
     */
    public record Made(Optional<RunOrder> order, int left, List<String> refused) {
        public Made {
            refused = List.copyOf(refused);
        }
    }

    private final Method method;
    private final Day day;
    private final Policy policy;
    private final Solutions solutions;
    private final List<Place> places = new ArrayList<>();
    private int control;
    /** Soils and duplicates of one lane since the last of each, counted up. */
    private int vessels;

    private int sinceCheck;
    private int sinceControl;
    private int sinceWash;

    private NextRun(Method method, Day day, Solutions solutions, long seed) {
        this.method = method;
        this.day = day;
        this.policy = day.laboratory().policy();
        this.solutions = solutions;
        this.control =
                (int) Math.floorMod(seed, Math.max(1L, solutions.controls().size()));
    }

    /**
     * The next order.
     *
     * @param name of the order and of the run
     * @param wanted what waits, in the order in which it is to be read
     * @param day for the policy, the solutions' contents and the control soils
     * @param solutions what is read beside soils
     * @param seed decides which soils are taken twice and which control soil comes first
     */
    public static Made of(
            String name,
            Method method,
            String instrument,
            OffsetDateTime madeAt,
            List<Wanted> wanted,
            Day day,
            Solutions solutions,
            long seed) {
        if (wanted.isEmpty()) {
            return new Made(
                    Optional.empty(),
                    0,
                    List.of("No soil waits for " + method.head().title() + "."));
        }
        NextRun next = new NextRun(method, day, solutions, seed);
        next.head();
        List<String> lacking = next.lacking();
        if (!lacking.isEmpty()) {
            return new Made(Optional.empty(), wanted.size(), lacking);
        }
        int taken = next.soils(wanted, new SplittableRandom(seed));
        next.close();
        return new Made(
                Optional.of(new RunOrder(name, method.id(), instrument, madeAt, next.places)),
                wanted.size() - taken,
                List.of());
    }

    // ---- before the first soil

    private void head() {
        solutions.head().forEach(place -> add(place.role(), place.identity(), 1, false));
        if (lacks(Gate.KNOWN_SOLUTIONS)) {
            solutions.check().ifPresent(check -> block(Role.VERIFICATION, check));
        }
        if (lacks(Gate.BLANK)) {
            solutions.blank().ifPresent(blank -> add(Role.BLANK, blank, 1, false));
        }
        if (required(Gate.BASELINE)) {
            while (count(Role.WASH) < 2 && solutions.wash().isPresent()) {
                add(Role.WASH, solutions.wash().get(), 1, false);
            }
        }
        int knowns = weighed() ? policy.whole(Setting.RUN_FIRST_KNOWNS) : required(Gate.OWN_CONTROL) ? 1 : 0;
        while (count(Role.CONTROL) < knowns * solutions.lanes()
                && !solutions.controls().isEmpty()) {
            control();
        }
    }

    /** What the judge would hold every soil of such a run for. */
    private List<String> lacking() {
        List<String> lacking = new ArrayList<>();
        for (Gate gate : method.requiredGates()) {
            if (lacks(gate)) {
                lacking.add(
                        "The runs read so far show no " + what(gate) + " for "
                                + method.head().title()
                                + ", and without one every soil would wait. Read one run with it; the next order is made like it.");
            }
        }
        if (required(Gate.CALIBRATION) && !solutions.ownCalibration()) {
            method.extract().flatMap(this::levels).ifPresent(lacking::add);
        }
        return lacking;
    }

    private Optional<String> levels(Extraction extraction) {
        int needed = extraction
                .acceptance()
                .leastLevels()
                .orElseGet(() -> policy.whole(
                        extraction.shape() == Extraction.Shape.LINE
                                ? Setting.CALIBRATION_LINE_LEVELS
                                : Setting.CALIBRATION_QUADRATIC_LEVELS));
        Set<String> names = new HashSet<>();
        places.stream().filter(place -> place.role() == Role.STANDARD).forEach(place -> names.add(place.identity()));
        for (var analyte : method.head().analytes()) {
            long levels = day.standards().stream()
                    .filter(standard -> standard.method().equals(method.id())
                            && standard.analyte().equals(analyte.symbol())
                            && names.contains(standard.standard()))
                    .mapToDouble(Standard::value)
                    .distinct()
                    .count();
            if (levels > 0 && levels < needed) {
                return Optional.of("The standards hold " + levels + " different contents of " + analyte.symbol()
                        + "; the policy asks for " + needed
                        + ". Read one run with more; the next order is made like it.");
            }
        }
        return Optional.empty();
    }

    private boolean required(Gate gate) {
        return method.requiredGates().contains(gate);
    }

    private boolean lacks(Gate gate) {
        if (!required(gate)) {
            return false;
        }
        return switch (gate) {
            case CALIBRATION -> !solutions.ownCalibration() && count(Role.STANDARD) == 0;
            case KNOWN_SOLUTIONS ->
                places.stream()
                                .filter(place -> place.role() == Role.VERIFICATION
                                        && !method.carryOverSolutions().contains(place.identity()))
                                .count()
                        < solutions.lanes();
            case BLANK -> count(Role.BLANK) == 0;
            case BASELINE -> count(Role.WASH) < 2;
            case CARRY_OVER ->
                places.stream()
                                .filter(place -> method.carryOverSolutions().contains(place.identity()))
                                .count()
                        < 3;
            case OWN_CONTROL ->
                places.stream()
                                .filter(place -> place.role() == Role.CONTROL && isStated(place.identity()))
                                .count()
                        < solutions.lanes();
        };
    }

    private boolean isStated(String material) {
        return day.materials().stream()
                .anyMatch(one ->
                        one.method().equals(method.id()) && one.material().equals(material));
    }

    private static String what(Gate gate) {
        return switch (gate) {
            case CALIBRATION -> "standard";
            case KNOWN_SOLUTIONS -> "check solution before the first soil";
            case BLANK -> "blank";
            case BASELINE -> "baseline";
            case CARRY_OVER -> "low, high and low solution for the carry-over";
            case OWN_CONTROL -> "open control soil of known content";
        };
    }

    private int count(Role role) {
        return (int) places.stream().filter(place -> place.role() == role).count();
    }

    /** Methods without a calibration: what is weighed or titrated is judged by control soils alone. */
    private boolean weighed() {
        return !required(Gate.CALIBRATION);
    }

    // ---- soils

    private int soils(List<Wanted> wanted, SplittableRandom random) {
        int most = method.extract().isPresent() ? policy.whole(Setting.RUN_EXTRACTS) : policy.whole(Setting.RUN_SOILS);
        int every = policy.whole(Setting.RUN_DUPLICATE_EVERY);
        vessels = method.extract().isPresent() ? count(Role.BLANK) + count(Role.CONTROL) : 0;
        int taken = 0;
        int twice = every == 0 ? -1 : random.nextInt(Math.min(every, wanted.size()));
        while (taken < wanted.size() && vessels < most) {
            Wanted one = wanted.get(taken);
            soil(Role.SAMPLE, one);
            if (every > 0 && taken % every == twice && one.dilution() == 1 && vessels < most) {
                soil(Role.DUPLICATE, one);
            }
            taken++;
            if (every > 0 && taken % every == 0) {
                twice = random.nextInt(Math.min(every, Math.max(1, wanted.size() - taken)));
            }
        }
        return taken;
    }

    private void soil(Role role, Wanted one) {
        int lanes = solutions.lanes();
        int allowed = policy.whole(Setting.CHECK_INTERVAL_SOILS);
        boolean fresh = sinceCheck % lanes == 0;
        if (fresh && allowed > 0 && sinceCheck >= allowed * lanes) {
            solutions.check().ifPresent(check -> block(Role.VERIFICATION, check));
            sinceCheck = 0;
        }
        if (fresh && sinceControl >= policy.whole(Setting.RUN_CONTROL_EVERY) * lanes) {
            control();
        }
        if (fresh && sinceWash >= policy.whole(Setting.RUN_WASH_EVERY)) {
            wash();
        }
        add(role, one.labNumber().text(), one.dilution(), one.again());
        vessels++;
        sinceCheck++;
        sinceControl++;
        sinceWash++;
    }

    private void close() {
        solutions.check().ifPresent(check -> block(Role.VERIFICATION, check));
        if (required(Gate.OWN_CONTROL) && sinceControl > 0) {
            control();
        }
        if (required(Gate.BLANK)) {
            solutions.blank().ifPresent(blank -> add(Role.BLANK, blank, 1, false));
        }
        wash();
    }

    private void control() {
        if (!solutions.controls().isEmpty()) {
            block(
                    Role.CONTROL,
                    solutions.controls().get(control++ % solutions.controls().size()));
            vessels += method.extract().isPresent() ? 1 : 0;
            sinceControl = 0;
        }
    }

    private void wash() {
        solutions.wash().ifPresent(wash -> {
            add(Role.WASH, wash, 1, false);
            sinceWash = 0;
        });
    }

    /** One for each probe, cell or line. */
    private void block(Role role, String identity) {
        for (int lane = 0; lane < solutions.lanes(); lane++) {
            add(role, identity, 1, false);
        }
    }

    private void add(Role role, String identity, double dilution, boolean again) {
        places.add(new Place(places.size() + 1, role, identity, dilution, again));
    }
}
