package org.tenmesh.exchange.methods;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.Function;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodsOfDay;
import org.tenmesh.core.methods.Portion;
import org.tenmesh.core.quantity.Dimension;
import org.tenmesh.exchange.file.DecimalText;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.yaml.Section;

/** What methods must agree on with each other. */
final class MethodSet {
    private final MethodsOfDay methods;
    private final Function<String, Section> tops;

    private MethodSet(MethodsOfDay methods, Function<String, Section> tops) {
        this.methods = methods;
        this.tops = tops;
    }

    /**
     * Makes a problem of everything in which the methods of one day contradict each other.
     *
     * @param own ids of a laboratory's own: where two disagree, these are told
     * @param tops the top of a method's file, by id
     */
    static void check(MethodsOfDay methods, Set<String> own, Function<String, Section> tops) {
        MethodSet set = new MethodSet(methods, tops);
        List<Method> ownLast = new ArrayList<>();
        methods.all().stream().filter(method -> !own.contains(method.id())).forEach(ownLast::add);
        methods.all().stream().filter(method -> own.contains(method.id())).forEach(ownLast::add);
        set.portions(ownLast);
        for (Method method : ownLast) {
            if (method instanceof DerivedMethod derived) {
                set.inputs(derived);
            }
        }
        set.circles(ownLast);
    }

    /**
     * Makes a problem of every version in which a method is of another kind, or reports an analyte in another unit, than in its first:
     * known values, control charts and earlier results are kept by the method's id and must stay comparable.
     *
     * @param versions of one method, the first last
     * @param tops the top of a version's file
     */
    static void checkVersions(List<Method> versions, Function<Method, Section> tops) {
        Method first = versions.get(versions.size() - 1);
        for (Method version : versions.subList(0, versions.size() - 1)) {
            if (!version.getClass().equals(first.getClass())) {
                tops.apply(version)
                        .wrong(
                                "kind",
                                "another kind than the version of "
                                        + first.head().version(),
                                "the same kind in all versions, or an id of its own");
            }
            for (int i = 0; i < version.head().analytes().size(); i++) {
                Analyte analyte = version.head().analytes().get(i);
                Analyte before = firstReporting(versions, analyte.symbol()).orElse(analyte);
                if (before.unit() != analyte.unit()) {
                    tops.apply(version)
                            .sections("analytes")
                            .get(i)
                            .wrong(
                                    "unit",
                                    Problem.quoted(analyte.unit().ucum()),
                                    Problem.quoted(before.unit().ucum())
                                            + ", as in its first version, or an id of its own");
                }
            }
        }
    }

    private static Optional<Analyte> firstReporting(List<Method> versions, String symbol) {
        Optional<Analyte> first = Optional.empty();
        for (Method version : versions) {
            first = version.analyte(symbol).isPresent() ? version.analyte(symbol) : first;
        }
        return first;
    }

    private void portions(List<Method> ownLast) {
        Map<String, Method> first = new TreeMap<>();
        for (Method method : ownLast) {
            Portion portion = method.head().portion().orElse(null);
            if (portion == null) {
                continue;
            }
            Method before = first.putIfAbsent(portion.name(), method);
            double same = before == null
                    ? portion.soilG()
                    : before.head().portion().map(Portion::soilG).orElse(portion.soilG());
            if (before != null && same != portion.soilG()) {
                tops.apply(method.id())
                        .section("portion")
                        .wrong(
                                "soil_g",
                                DecimalText.of(portion.soilG()) + " g of " + portion.name(),
                                DecimalText.of(same) + " g, as " + before.id() + " takes of it, or another name");
            }
        }
    }

    private void inputs(DerivedMethod derived) {
        for (int i = 0; i < derived.inputs().size(); i++) {
            DerivedMethod.Input input = derived.inputs().get(i);
            for (int j = 0; j < input.from().size(); j++) {
                from(derived, i, j, input, input.from().get(j));
            }
        }
    }

    private void from(DerivedMethod derived, int i, int j, DerivedMethod.Input input, DerivedMethod.From from) {
        if (from.method().equals(DerivedMethod.From.SHEET)) {
            if (!input.unit().equals("cm")) {
                input(derived, i).wrong("unit", Problem.quoted(input.unit()), "cm, as on the client's sheet");
            }
            return;
        }
        Method method = methods.find(from.method()).orElse(null);
        if (method == null) {
            place(derived, i, j)
                    .wrong("method", Problem.quoted(from.method()) + ", which no method is", near(from.method()));
            return;
        }
        Analyte analyte = method.analyte(from.analyte()).orElse(null);
        if (analyte == null) {
            List<String> symbols =
                    method.head().analytes().stream().map(Analyte::symbol).toList();
            place(derived, i, j)
                    .wrong(
                            "analyte",
                            Problem.quoted(from.analyte()) + ", which " + method.id() + " does not report",
                            "one of " + String.join(", ", symbols));
        } else if (isClass(method, from.analyte())) {
            place(derived, i, j)
                    .wrong(
                            "analyte",
                            Problem.quoted(from.analyte()) + ", which is a class",
                            "a result that is a number");
        } else if (!Dimension.of(analyte.unit()).same(Dimension.of(input.unit()))) {
            input(derived, i)
                    .wrong(
                            "unit",
                            Problem.quoted(input.unit()),
                            analyte.unit().ucum() + ", in which " + method.id() + " reports " + analyte.symbol());
        }
    }

    private static boolean isClass(Method method, String symbol) {
        return method.results().stream()
                .anyMatch(result ->
                        result.name().equals(symbol) && result.formula().isEmpty());
    }

    private Section input(DerivedMethod derived, int i) {
        return tops.apply(derived.id()).section("derived").sections("inputs").get(i);
    }

    private Section place(DerivedMethod derived, int i, int j) {
        return input(derived, i).sections("from").get(j);
    }

    private String near(String id) {
        String start = id.substring(0, Math.min(2, id.length()));
        List<String> near =
                methods.ids().stream().filter(one -> one.startsWith(start)).toList();
        return near.isEmpty() ? "the id of a method" : "the id of a method, such as " + String.join(", ", near);
    }

    private void circles(List<Method> ownLast) {
        Set<String> told = new LinkedHashSet<>();
        for (Method method : ownLast) {
            if (method instanceof DerivedMethod derived) {
                circle(derived, new ArrayList<>(), told, new LinkedHashSet<>());
            }
        }
    }

    private void circle(DerivedMethod method, List<String> above, Set<String> told, Set<String> done) {
        int at = above.indexOf(method.id());
        if (at >= 0) {
            List<String> circle = new ArrayList<>(above.subList(at, above.size()));
            if (circle.stream().noneMatch(told::contains)) {
                told.addAll(circle);
                circle.add(method.id());
                tops.apply(method.id())
                        .section("derived")
                        .wrong(
                                "inputs",
                                "a circle: " + String.join(" needs ", circle),
                                "inputs that do not need the result");
            }
            return;
        }
        if (!done.add(method.id())) {
            return;
        }
        above.add(method.id());
        for (DerivedMethod.Input input : method.inputs()) {
            for (DerivedMethod.From from : input.from()) {
                if (methods.find(from.method()).orElse(null) instanceof DerivedMethod next) {
                    circle(next, above, told, done);
                }
            }
        }
        above.remove(above.size() - 1);
    }
}
