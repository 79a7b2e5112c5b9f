package org.tenmesh.core.layout;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.Portion;

/** What has to be taken from wells. Methods that name the same portion share one. */
public final class Portions {
    /** Fewest portions a package of soil may need. */
    public static final int FEWEST = 1;

    /** Most portions a soil can give. */
    public static final int MOST = 10;

    private Portions() {}

    /**
     * One portion and what is read from it.
     *
     * @param methods ids, in the order asked
     * @param wells how many wells it is taken from; 1 for a soil
     */
    public record Taken(Portion portion, List<String> methods, int wells) {
        public Taken {
            methods = List.copyOf(methods);
        }

        /** Soil used up, g. */
        public double soilG() {
            return portion.soilG() * wells;
        }
    }

    /**
     * The portions of one soil, in the order asked. Results reckoned from others take none.
     *
     * @param methods by id; one that is not there takes nothing known
     * @throws IllegalArgumentException when the package needs no portion, or more than ten, or one name stands for two masses
     */
    public static List<Taken> of(TestPackage wanted, Map<String, Method> methods) {
        Map<String, Taken> taken = new LinkedHashMap<>();
        for (TestPackage.Asked asked : wanted.asked()) {
            Method method = methods.get(asked.method());
            if (method != null) {
                method.head().portion().ifPresent(portion -> add(taken, portion, asked.method(), 1));
            }
        }
        if (taken.size() < FEWEST || taken.size() > MOST) {
            throw new IllegalArgumentException("package " + wanted.name() + " asks for " + taken.size()
                    + " portions, expected " + FEWEST + " to " + MOST
                    + (taken.isEmpty() ? "" : ": " + String.join(", ", taken.keySet())));
        }
        return List.copyOf(taken.values());
    }

    /**
     * The portions of a tray, in the order in which its wells ask for them.
     *
     * @param wanted the package of a lab number; empty when it has none that is known
     * @throws IllegalArgumentException as for one soil
     */
    public static List<Taken> of(
            Tray tray, Function<LabNumber, Optional<TestPackage>> wanted, Map<String, Method> methods) {
        Map<String, Taken> all = new LinkedHashMap<>();
        for (Tray.Place place : tray.wells()) {
            Optional<TestPackage> its = place.labNumber().flatMap(wanted);
            if (its.isPresent()) {
                for (Taken one : of(its.get(), methods)) {
                    one.methods().forEach(method -> add(all, one.portion(), method, 0));
                    Taken before = all.get(one.portion().name());
                    if (before != null) {
                        all.put(
                                one.portion().name(),
                                new Taken(before.portion(), before.methods(), before.wells() + 1));
                    }
                }
            }
        }
        return List.copyOf(all.values());
    }

    private static void add(Map<String, Taken> taken, Portion portion, String method, int wells) {
        Taken before = taken.get(portion.name());
        if (before == null) {
            taken.put(portion.name(), new Taken(portion, List.of(method), wells));
            return;
        }
        if (before.portion().soilG() != portion.soilG()) {
            throw new IllegalArgumentException("portion " + portion.name() + " is "
                    + before.portion().soilG() + " g for " + before.methods().get(0) + " and " + portion.soilG()
                    + " g for " + method + "; one name always takes the same soil");
        }
        if (!before.methods().contains(method)) {
            List<String> methods = new ArrayList<>(before.methods());
            methods.add(method);
            taken.put(portion.name(), new Taken(portion, methods, before.wells()));
        }
    }

    /** Soil used up by all of them, g. */
    public static double totalG(List<Taken> taken) {
        return taken.stream().mapToDouble(Taken::soilG).sum();
    }
}
