package org.tenmesh.core.derived;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.function.Function;
import java.util.stream.IntStream;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.Story;
import org.tenmesh.core.formula.NoSenseException;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.Example;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.methods.MethodsOfDay;
import org.tenmesh.core.quantity.Amount;

/**
 * Calculates the derived results of a day from the results that stand.
 *
 * <p>The rules, one each:
 * <ul>
 *   <li>An input that is used and is on hold or to be made again holds the result; its causes go along.
 *   <li>An input that is fit only because somebody accepted a failed check makes the result such a one too; its causes go along.
 *   <li>An input below its limit enters by its rule ({@link DerivedMethod.Below}) with the standard uncertainty limit / sqrt(12), of
 *       a value anywhere between nothing and the limit (JCGM 100:2008, 4.3.7). The result is a number with its uncertainty however
 *       large that is, unless it lies below a reporting limit of its own.
 *   <li>An input without number gives no result where it is used; a branch that is not taken needs none. Where the client sent too
 *       little soil for an input, there is too little for the result.
 *   <li>Uncertainty is carried to the results that were measured, not to derived ones between, so that two derived values that
 *       rest on the same measurement are correlated as they are (JCGM 100:2008, 5.1.2 on independent inputs). Of the inputs
 *       half the expanded uncertainty enters, so that what few degrees of freedom widened stays widened: never narrower than combined
 *       standard uncertainties with effective degrees of freedom. Inputs count as independent of one another.
 *   <li>Advice is calculated only where the laboratory switched its region on.
 * </ul>
 */
public final class Deriving {
    private Deriving() {}

    /**
     * The results of a day that come from no run: portions for which there was not enough soil, and everything derived.
     *
     * <p>A soil whose package is known gets what the package asks for. Another gets every derived method that some package of the day
     * rests on and of which all inputs without a value of their own are there; a day without packages gets none.
     *
     * @param standing one result for each lab number, method and analyte
     * @param book every method is taken in the version that holds on the day
     * @return run empty, position 0; sorted by lab number, method, analyte
     * @throws NoSenseException naming the methods that need each other's results
     */
    public static List<Result> of(Day day, List<Result> standing, MethodBook book) {
        return of(day, standing, book, new DerivedSoils());
    }

    /** {@link #of(Day, List, MethodBook)} with what was derived before: only soils of which anything changed are calculated. */
    public static List<Result> of(Day day, List<Result> standing, MethodBook book, DerivedSoils before) {
        MethodsOfDay methods = book.on(day.date());
        List<Result> without = shortages(day, standing, methods);
        List<Calculator> calculators = calculators(day, methods);
        if (calculators.isEmpty()) {
            return without;
        }
        Askings askings = Askings.of(day, methods);
        Map<LabNumber, DerivedSoils.Given> soils = given(day, standing, without, calculators, askings);
        List<DerivedSoils.Given> inOrder = new ArrayList<>(soils.values());
        inOrder.sort(Comparator.comparing(DerivedSoils.Given::labNumber));
        DerivedSoils.Under rules = before.under(rules(day, calculators, askings));
        // Soils do not know one another: their results are calculated on as many threads as there are, and put together
        // in order.
        List<List<Result>> derived = IntStream.range(0, inOrder.size())
                .parallel()
                .mapToObj(i -> rules.of(
                        inOrder.get(i), () -> run(inputs(inOrder.get(i), askings), calculators, askings, null)))
                .toList();
        List<Result> all = new ArrayList<>(without);
        derived.forEach(all::addAll);
        if (!without.isEmpty()) {
            all.sort(ORDER);
        }
        return all;
    }

    private static DerivedSoils.Rules rules(Day day, List<Calculator> calculators, Askings askings) {
        Map<TestPackage, Set<String>> needed = new HashMap<>();
        day.packages().forEach(one -> needed.put(one, askings.needed(one)));
        return new DerivedSoils.Rules(
                calculators.stream().map(Calculator::method).toList(), needed);
    }

    private static final Comparator<Result> ORDER = Comparator.comparing(Result::labNumber)
            .thenComparing(Result::method)
            .thenComparing(Result::analyte);

    /**
     * The derived methods in an order in which each needs only earlier ones.
     *
     * @throws NoSenseException naming the methods that need each other's results
     */
    public static List<DerivedMethod> order(MethodsOfDay methods) {
        List<DerivedMethod> order = new ArrayList<>();
        Set<String> done = new HashSet<>();
        for (String id : new TreeSet<>(methods.ids())) {
            visit(id, methods, done, new ArrayList<>(), order);
        }
        return order;
    }

    private static void visit(
            String id, MethodsOfDay methods, Set<String> done, List<String> path, List<DerivedMethod> order) {
        if (!(methods.find(id).orElse(null) instanceof DerivedMethod method) || done.contains(id)) {
            return;
        }
        int before = path.indexOf(id);
        if (before >= 0) {
            List<String> circle = new ArrayList<>(path.subList(before, path.size()));
            circle.add(id);
            throw new NoSenseException("these methods need each other's results: " + String.join(" needs ", circle));
        }
        path.add(id);
        for (DerivedMethod.Input input : method.inputs()) {
            input.from().forEach(from -> visit(from.method(), methods, done, path, order));
        }
        path.remove(path.size() - 1);
        done.add(id);
        order.add(method);
    }

    /**
     * A worked example calculated: the amounts of the method's analytes, by symbol.
     *
     * @param example its numbers by the names of inputs, in their units; an input that is not given has its own value where it has one
     */
    public static Map<String, Amount> of(DerivedMethod method, Example example) {
        Inputs inputs = new Inputs(new LabNumber("example"), Optional.empty(), Set.of());
        Map<String, Amount> amounts = new TreeMap<>();
        Outcome outcome = Calculator.of(method).calculate(inputs, example.given());
        inputs.take(method.id(), outcome);
        outcome.results(method).forEach((symbol, result) -> amounts.put(symbol, result.amount()));
        return amounts;
    }

    /**
     * How a derived result came to be: the stories of its inputs one after the other, each introduced by a step that names it, then
     * the formula with the numbers put in. The last step is the result's number, digit for digit.
     *
     * @param standing results that stand, derived ones included, of the whole day or of this lab number
     * @param measured tells the story of a result that was read
     */
    public static Story story(Day day, List<Result> standing, MethodBook book, Result result, Telling measured) {
        MethodsOfDay methods = book.on(day.date());
        List<Calculator> calculators = calculators(day, methods);
        Askings askings = Askings.of(day, methods);
        List<Result> own = standing.stream()
                .filter(one -> one.labNumber().equals(result.labNumber()))
                .toList();
        Map<LabNumber, DerivedSoils.Given> soils = given(
                day, own.stream().filter(one -> !isDerived(one, methods)).toList(), List.of(), calculators, askings);
        DerivedSoils.Given given = soils.get(result.labNumber());
        if (given == null) {
            return Story.of(result, List.of(), List.of());
        }
        Inputs inputs = inputs(given, askings);
        Map<String, Outcome> outcomes = new HashMap<>();
        run(inputs, calculators, askings, outcomes);
        return new Retelling(inputs, outcomes, methods, measured).story(result);
    }

    private static boolean isDerived(Result result, MethodsOfDay methods) {
        return methods.find(result.method())
                .filter(DerivedMethod.class::isInstance)
                .isPresent();
    }

    private static List<Calculator> calculators(Day day, MethodsOfDay methods) {
        // Only what a package of the day rests on is looked at: the others need not even be read.
        Askings askings = Askings.of(day, methods);
        Set<String> needed = new TreeSet<>();
        day.packages().forEach(one -> needed.addAll(askings.needed(one)));
        List<DerivedMethod> order = new ArrayList<>();
        Set<String> done = new HashSet<>();
        needed.forEach(id -> visit(id, methods, done, new ArrayList<>(), order));
        return order.stream()
                .filter(method -> isOn(day, method))
                .map(Calculator::of)
                .toList();
    }

    /** Whether the laboratory wants this method at all: advice must be switched on for its region. */
    public static boolean isOn(Day day, Method method) {
        return method.regionalAdvice()
                .map(advice -> day.laboratory().advice().contains(advice.region()))
                .orElse(true);
    }

    private static List<Result> shortages(Day day, List<Result> standing, MethodsOfDay methods) {
        if (day.shortages().isEmpty()) {
            return List.of();
        }
        Set<LabNumber> few = new HashSet<>();
        day.shortages().forEach(shortage -> few.add(shortage.labNumber()));
        Set<String> read = new HashSet<>();
        for (Result result : standing) {
            if (few.contains(result.labNumber())) {
                read.add(key(result.labNumber(), result.method(), result.analyte()));
            }
        }
        Askings askings = Askings.of(day, methods);
        List<Result> results = new ArrayList<>();
        for (Shortage shortage : Set.copyOf(day.shortages())) {
            Method method = methods.find(shortage.method()).orElse(null);
            if (method == null) {
                continue;
            }
            Optional<TestPackage> wanted = askings.of(shortage.labNumber());
            for (Analyte analyte : method.head().analytes()) {
                boolean asked = wanted.flatMap(its -> its.of(method.id()))
                        .map(its -> its.asks(analyte.symbol()))
                        .orElse(true);
                if (asked && !read.contains(key(shortage.labNumber(), method.id(), analyte.symbol()))) {
                    Amount amount = new Amount.NotEnoughSoil(analyte.unit());
                    results.add(new Result(
                            shortage.labNumber(),
                            method.id(),
                            method.head().version(),
                            analyte.symbol(),
                            "",
                            0,
                            "",
                            amount,
                            analyte.rounding().text(amount),
                            OptionalDouble.empty(),
                            Verdict.FIT,
                            List.of()));
                }
            }
        }
        results.sort(ORDER);
        return results;
    }

    private static String key(LabNumber labNumber, String method, String analyte) {
        return labNumber.text() + "\n" + method + "\n" + analyte;
    }

    private static Inputs inputs(DerivedSoils.Given given, Askings askings) {
        Inputs inputs = new Inputs(given.labNumber(), given.soil(), askings.methods(given.labNumber()));
        given.results().forEach(inputs::take);
        return inputs;
    }

    private static Map<LabNumber, DerivedSoils.Given> given(
            Day day, List<Result> standing, List<Result> without, List<Calculator> calculators, Askings askings) {
        // A day has many results that nothing rests on: only those that are asked after are looked at.
        Map<String, Set<String>> asked = new HashMap<>();
        calculators.forEach(calculator -> calculator
                .method()
                .inputs()
                .forEach(input -> input.from()
                        .forEach(from -> asked.computeIfAbsent(from.method(), id -> new HashSet<>())
                                .add(from.analyte()))));
        Map<LabNumber, Soil> soils = new HashMap<>();
        day.soils().forEach(soil -> soils.put(soil.labNumber(), soil));
        Map<LabNumber, DerivedSoils.Given> given = new LinkedHashMap<>();
        Function<LabNumber, DerivedSoils.Given> nothingYet = its ->
                new DerivedSoils.Given(its, Optional.ofNullable(soils.get(its)), askings.of(its), new ArrayList<>());
        for (List<Result> some : List.of(standing, without)) {
            DerivedSoils.@Nullable Given last = null;
            String method = "";
            Set<String> analytes = Set.of();
            for (Result result : some) {
                if (!result.method().equals(method)) {
                    method = result.method();
                    analytes = asked.getOrDefault(method, Set.of());
                }
                if (!analytes.contains(result.analyte())) {
                    continue;
                }
                if (last == null || !last.labNumber().equals(result.labNumber())) {
                    last = given.computeIfAbsent(result.labNumber(), nothingYet);
                }
                last.results().add(result);
            }
        }
        // What the client's sheet alone decides, for soils of which nothing was read.
        boolean fromSheet = asked.containsKey(DerivedMethod.From.SHEET);
        if (fromSheet) {
            for (Soil soil : day.soils()) {
                if (askings.of(soil.labNumber()).isPresent()) {
                    given.computeIfAbsent(soil.labNumber(), nothingYet);
                }
            }
        }
        return given;
    }

    private static List<Result> run(
            Inputs inputs, List<Calculator> calculators, Askings askings, @Nullable Map<String, Outcome> outcomes) {
        Optional<TestPackage> wanted = askings.of(inputs.labNumber());
        Set<String> needed = wanted.map(askings::needed).orElse(Set.of());
        List<Result> results = new ArrayList<>();
        for (Calculator calculator : calculators) {
            String id = calculator.method().id();
            boolean restsOn = wanted.isEmpty() || needed.contains(id);
            boolean ready = restsOn && calculator.ready(inputs);
            // What a package asks for is there or has its reason as soon as any of its inputs is there.
            if (!ready && (wanted.isEmpty() || !restsOn || !calculator.begun(inputs))) {
                continue;
            }
            Optional<TestPackage.Asked> asked =
                    inputs.prefers(id) ? wanted.flatMap(its -> its.of(id)) : Optional.empty();
            Outcome outcome = calculator.calculate(inputs, Map.of());
            inputs.take(id, outcome);
            if (outcomes != null) {
                outcomes.put(id, outcome);
            }
            outcome.results(calculator.method()).forEach((symbol, result) -> {
                // A step between that nobody asked for and that lacks an input leaves its place to another way.
                if (ready || asked.isPresent() || !(result.amount() instanceof Amount.Missing)) {
                    inputs.take(result, outcome.gradient(symbol));
                }
                if (wanted.isEmpty() || asked.isPresent() && asked.get().asks(symbol)) {
                    results.add(result);
                }
            });
        }
        results.sort(ORDER);
        return results;
    }
}
