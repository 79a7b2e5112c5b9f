package org.tenmesh.core.layout;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodsOfDay;
import org.tenmesh.core.methods.Portion;

/** What has to be taken from a well. Methods that name the same portion share one. */
public final class Portions {
    private static final int FEWEST = 1;
    private static final int MOST = 10;

    private Portions() {}

    /**
     * One portion and what is read from it.
     *
     * @param name the same for methods that share it
     * @param soilG what it uses up, g; 0 when nothing is taken from the well, as of stones that were sieved off
     * @param methods read from it, in the order asked
     */
    public record Taken(String name, double soilG, List<Method> methods) {
        public Taken {
            methods = List.copyOf(methods);
        }
    }

    /**
     * The portions of one soil, or of all wells of a tray, in the order asked. Results calculated from other results take none.
     *
     * @param asked ids of methods; one that is not there takes nothing known
     * @param methods those of one portion agree on its mass
     */
    public static List<Taken> of(List<String> asked, MethodsOfDay methods) {
        Map<String, Taken> taken = new LinkedHashMap<>();
        for (String id : asked) {
            Method method = methods.find(id).orElse(null);
            if (method == null || method.isCalculated()) {
                continue;
            }
            String name = name(method);
            Taken before = taken.get(name);
            List<Method> sharing = new ArrayList<>(before == null ? List.of() : before.methods());
            if (!sharing.contains(method)) {
                sharing.add(method);
            }
            taken.put(
                    name,
                    new Taken(name, method.head().portion().map(Portion::soilG).orElse(0.0), sharing));
        }
        return List.copyOf(taken.values());
    }

    /** The portions of a package. */
    public static List<Taken> of(TestPackage wanted, MethodsOfDay methods) {
        return of(wanted.asked().stream().map(TestPackage.Asked::method).toList(), methods);
    }

    /** What a method's portion is called; a method that takes none of its own stands for itself. */
    public static String name(Method method) {
        return method.head().portion().map(Portion::name).orElse(method.id());
    }

    /** Soil used up by all of them, g. */
    public static double totalG(List<Taken> taken) {
        return taken.stream().mapToDouble(Taken::soilG).sum();
    }

    /** Why a package cannot be served: a soil gives one to ten portions. Empty when it can. */
    public static Optional<String> refusal(TestPackage wanted, MethodsOfDay methods) {
        List<Taken> taken = of(wanted, methods);
        if (taken.size() >= FEWEST && taken.size() <= MOST) {
            return Optional.empty();
        }
        String names = String.join(", ", taken.stream().map(Taken::name).toList());
        return Optional.of(taken.size() + " portions" + (names.isEmpty() ? "" : ": " + names));
    }
}
