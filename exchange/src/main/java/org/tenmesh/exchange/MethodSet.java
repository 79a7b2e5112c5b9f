package org.tenmesh.exchange;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.Portion;
import org.tenmesh.core.quantity.Dimension;

/** What methods must agree on with each other. */
final class MethodSet {
    private static final String REFUSED = "The methods are not taken";

    private MethodSet() {}

    /**
     * Everything in which the methods contradict each other.
     *
     * @param fileOf the file of each method, by id
     */
    static List<Problem> problems(Map<String, Method> methods, Map<String, String> fileOf) {
        List<Problem> problems = new ArrayList<>();
        Map<String, Portion> portions = new HashMap<>();
        for (Method method : methods.values()) {
            String file = fileOf.getOrDefault(method.id(), method.id());
            method.head().portion().ifPresent(portion -> {
                Portion same = portions.putIfAbsent(portion.name(), portion);
                if (same != null && same.soilG() != portion.soilG()) {
                    problems.add(new Problem(
                            file,
                            0,
                            "portion.soil_g",
                            portion.soilG() + " g of portion " + portion.name(),
                            same.soilG() + " g, as another method of this portion takes",
                            REFUSED));
                }
            });
            if (method instanceof DerivedMethod derived) {
                for (DerivedMethod.Input input : derived.inputs()) {
                    for (DerivedMethod.From from : input.from()) {
                        problem(methods, input, from)
                                .ifPresent(expected -> problems.add(new Problem(
                                        file,
                                        0,
                                        "derived.inputs." + input.name(),
                                        from.method() + " " + from.analyte() + " in " + input.unit(),
                                        expected,
                                        REFUSED)));
                    }
                }
                round(methods, derived, new LinkedHashSet<>())
                        .ifPresent(circle -> problems.add(new Problem(
                                file,
                                0,
                                "derived.inputs",
                                "a circle: " + circle,
                                "inputs that do not need the result",
                                REFUSED)));
            }
        }
        return problems;
    }

    private static Optional<String> problem(
            Map<String, Method> methods, DerivedMethod.Input input, DerivedMethod.From from) {
        if (from.method().equals(DerivedMethod.From.SHEET)) {
            return input.unit().equals("cm") ? Optional.empty() : Optional.of("cm, the unit of the client's sheet");
        }
        Method method = methods.get(from.method());
        if (method == null) {
            return Optional.of("the id of a method");
        }
        Optional<Analyte> analyte = method.analyte(from.analyte());
        if (analyte.isEmpty()) {
            return Optional.of("one of "
                    + String.join(
                            ", ",
                            method.head().analytes().stream()
                                    .map(Analyte::symbol)
                                    .toList()));
        }
        String unit = analyte.get().unit().ucum();
        return Dimension.of(unit).same(Dimension.of(input.unit()))
                ? Optional.empty()
                : Optional.of("its unit, " + unit);
    }

    private static Optional<String> round(Map<String, Method> methods, DerivedMethod method, Set<String> above) {
        if (!above.add(method.id())) {
            return Optional.of(String.join(" needs ", above) + " needs " + method.id());
        }
        Set<String> needed = new HashSet<>();
        method.inputs().forEach(input -> input.from().forEach(from -> needed.add(from.method())));
        for (String id : needed) {
            if (methods.get(id) instanceof DerivedMethod next) {
                Optional<String> circle = round(methods, next, new LinkedHashSet<>(above));
                if (circle.isPresent()) {
                    return circle;
                }
            }
        }
        return Optional.empty();
    }
}
