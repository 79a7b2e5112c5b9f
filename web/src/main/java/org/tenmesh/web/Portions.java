package org.tenmesh.web;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.Method;

/** What is taken from a well for a set of methods: methods that name the same portion share one. */
final class Portions {
    private Portions() {}

    /**
     * One portion.
     *
     * @param name the same for methods that share it
     * @param soilG what it uses up, g; 0 when nothing is taken from the well, as of an extract made already
     * @param methods read from it, in the order asked
     */
    record Portioned(String name, double soilG, List<Method> methods) {
        Portioned {
            methods = List.copyOf(methods);
        }

        String title() {
            return name.replaceFirst("-", " ").replaceFirst("(\\d)-(\\d)", "$1:$2");
        }
    }

    /** By name, in the order asked; results reckoned from others take none. */
    static Map<String, Portioned> of(Map<String, Method> methods, List<String> asked) {
        Map<String, Portioned> portions = new LinkedHashMap<>();
        for (String id : asked) {
            Method method = methods.get(id);
            if (method == null || method instanceof DerivedMethod) {
                continue;
            }
            String name = name(method);
            Portioned before = portions.get(name);
            List<Method> of = new ArrayList<>(before == null ? List.of() : before.methods());
            of.add(method);
            portions.put(name, new Portioned(name, Math.max(before == null ? 0 : before.soilG(), soilG(method)), of));
        }
        return portions;
    }

    static String name(Method method) {
        return method.head().portion().map(p -> p.name()).orElse(method.id());
    }

    private static double soilG(Method method) {
        return method.head().portion().map(p -> p.soilG()).orElse(0.0);
    }
}
