package org.tenmesh.web.methods;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import org.tenmesh.core.methods.Advice;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.methods.MethodDescription;
import org.tenmesh.core.methods.MethodsOfDay;
import org.tenmesh.core.methods.Source;
import org.tenmesh.web.words.Words;

/**
 * One method in words and tables: how its number is made, with which settings, how far each source was checked.
 *
 * @param advice whose advice it is and what comes first; empty for what is measured or follows from measurements
 */
public record MethodView(
        Method method,
        String portion,
        Optional<Advice> advice,
        MethodDescription description,
        List<InputLine> inputs,
        List<VersionLine> versions,
        List<ExampleView> examples) {

    /** One version and whether it is the one in use. */
    public record VersionLine(String date, String says) {}

    /** An input of a derived result. */
    public record InputLine(String name, List<Link> from, String unit, String below, String otherwise) {}

    /** A result of another method, or of the client's sheet. */
    public record Link(String text, String href) {}

    /** Methods of one kind, in the list. */
    public record Group(String title, String says, boolean advice, List<Line> lines) {}

    /**
     * One method in the list.
     *
     * @param later that it is not in use yet, or from when another version holds; may be empty
     */
    public record Line(
            Method method, String portion, String analytes, String standing, String later, String region, boolean on) {}

    /**
     * Every method, in the version in use.
     *
     * @param on regions whose advice is switched on
     */
    static List<Group> groups(MethodBook methods, LocalDate today, Set<String> on) {
        // Advice stands last, what is calculated before it; kinds are in the order in which reports have them.
        Map<Integer, Map<String, List<Line>>> byKind = new TreeMap<>();
        for (String id : methods.ids()) {
            Method method = inUse(methods, id, today);
            Optional<Advice> advice = method.regionalAdvice();
            byKind.computeIfAbsent(
                            advice.isPresent() ? 2 : method.isCalculated() ? 1 : 0, place -> new LinkedHashMap<>())
                    .computeIfAbsent(method.description().heading(), heading -> new ArrayList<>())
                    .add(new Line(
                            method,
                            portion(method),
                            Words.analytes(method),
                            standing(method),
                            later(methods, method, today),
                            advice.map(Advice::region).orElse(""),
                            advice.map(a -> on.contains(a.region())).orElse(true)));
        }
        List<Group> groups = new ArrayList<>();
        byKind.forEach((place, kinds) ->
                kinds.forEach((heading, lines) -> groups.add(new Group(heading, says(place), place == 2, lines))));
        return groups;
    }

    /** The version that holds today; of a method that begins later its first. */
    static Method inUse(MethodBook methods, String id, LocalDate today) {
        return methods.find(id, today).orElseGet(() -> {
            List<Method> versions = methods.versions(id);
            return versions.get(versions.size() - 1);
        });
    }

    /** What is not yet so: that the method begins later, or that another version does; empty text when neither. */
    private static String later(MethodBook methods, Method inUse, LocalDate today) {
        if (methods.find(inUse.id(), today).isEmpty()) {
            return "not in use yet";
        }
        List<String> dates = methods.versions(inUse.id()).stream()
                .map(version -> version.head().version())
                .filter(date -> date.isAfter(today) && date.isAfter(inUse.head().version()))
                .sorted()
                .map(LocalDate::toString)
                .toList();
        return dates.isEmpty() ? "" : "another from " + String.join(", ", dates);
    }

    private static String says(int place) {
        return switch (place) {
            case 1 ->
                "One input on hold holds the result; what stands for an input below its limit is stated with each.";
            case 2 ->
                "No measurements. Off unless the laboratory switches one on; on a report it stands apart and a person"
                        + " signs it. Local recommendations and licensed practice come first.";
            default -> "";
        };
    }

    /** What is taken from a well: "suspension 1-1, 7 g". */
    static String portion(Method method) {
        return method.head()
                .portion()
                .map(p -> Words.portion(p.name()) + (p.soilG() > 0 ? ", " + Words.plain(p.soilG()) + " g" : ""))
                .orElse("");
    }

    /** How far its sources were checked: "2 read, 1 from memory". */
    static String standing(Method method) {
        List<String> parts = new ArrayList<>();
        for (Source.Standing standing : Source.Standing.values()) {
            long n = method.head().sources().stream()
                    .filter(s -> s.standing() == standing)
                    .count();
            if (n > 0) {
                parts.add(n + " " + standing.word());
            }
        }
        return String.join(", ", parts);
    }

    /** @param released versions under which results were released */
    static MethodView of(Method method, MethodBook book, LocalDate today, Set<String> released) {
        MethodsOfDay methods = book.on(today);
        MethodDescription description = method.description();
        return new MethodView(
                method,
                portion(method),
                method.regionalAdvice(),
                description,
                description.inputs().stream()
                        .map(input -> input(input, methods))
                        .toList(),
                versions(method, book, today, released),
                method.head().examples().stream()
                        .map(example -> ExampleView.of(method, example))
                        .toList());
    }

    // A version that the files no longer hold but under which results were released is told too.
    private static List<VersionLine> versions(Method shown, MethodBook book, LocalDate today, Set<String> released) {
        String inUse = shown.head().version().toString();
        Set<String> dates = new TreeSet<>(Comparator.reverseOrder());
        dates.addAll(released);
        book.versions(shown.id())
                .forEach(version -> dates.add(version.head().version().toString()));
        dates.remove(inUse);
        List<VersionLine> lines = new ArrayList<>();
        lines.add(new VersionLine(
                inUse,
                book.find(shown.id(), today).isPresent() ? "in use" : "not in use yet: holds from this date on"));
        for (String date : dates) {
            boolean left = released.contains(date);
            lines.add(new VersionLine(
                    date,
                    date.compareTo(inUse) > 0 && date.compareTo(today.toString()) > 0
                            ? "holds from this date on"
                            : left ? "results were released under it" : "held before"));
        }
        return lines;
    }

    /** The range outside which a result is refused: "0 to 100"; empty text where there is none. */
    public static String possible(MethodDescription.FormulaLine line) {
        return line.lowest().isEmpty()
                ? line.highest().isEmpty() ? "" : "up to " + line.highest()
                : line.highest().isEmpty() ? line.lowest() + " and more" : line.lowest() + " to " + line.highest();
    }

    private static InputLine input(MethodDescription.Input input, MethodsOfDay methods) {
        List<Link> from = input.from().stream()
                .map(origin -> {
                    Method other = methods.find(origin.method()).orElse(null);
                    return origin.method().isEmpty()
                            ? new Link(origin.what(), "")
                            : new Link(
                                    origin.what() + " by "
                                            + (other == null
                                                    ? origin.method()
                                                    : other.head().title()),
                                    other == null ? "" : "/methods/" + Words.part(origin.method()));
                })
                .toList();
        return new InputLine(input.name(), from, input.unit(), input.below(), input.otherwise());
    }
}
