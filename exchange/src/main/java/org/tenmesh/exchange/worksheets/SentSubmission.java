package org.tenmesh.exchange.worksheets;

import java.math.BigDecimal;
import java.time.LocalDate;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeSet;
import org.tenmesh.exchange.file.FileProblems;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.json.JsonText;

/**
 * A submission as another program sends it, in JSON. It says what a client's worksheet says; a name that means nothing here is a problem, so that
 * a misspelt one is never taken for one that is absent.
 *
 * @param sheet each problem's column is the place in the document as a JSON pointer (RFC 6901)
 * @param promisedOn the day on which its results are due
 */
public record SentSubmission(Worksheet sheet, Optional<LocalDate> promisedOn) {
    private static final String REFUSED = "Nothing of this submission is taken";
    private static final int LONGEST = 500;
    private static final int LONGEST_LABEL = 200;
    private static final double DEEPEST_CM = 10_000;
    private static final Set<String> WHOLE =
            Set.of("client", "promised_on", "package", "origin", "water_supplied", "note", "soils");
    private static final Set<String> ORIGIN = Set.of("country", "region");
    private static final Set<String> SOIL = Set.of("label", "top_cm", "bottom_cm", "package");

    /** Reads a submission. Never throws for what is in it. */
    public static SentSubmission read(String file, byte[] bytes, Limits limits) {
        FileProblems problems = new FileProblems(file, REFUSED);
        if (bytes.length > limits.fileBytes()) {
            problems.add(0, "", bytes.length + " bytes", "at most " + limits.fileBytes() + " bytes");
            return new Reading(problems, limits).read(Map.of());
        }
        try {
            Object tree = JsonText.read(bytes);
            if (tree instanceof Map<?, ?> object) {
                return new Reading(problems, limits).read(object);
            }
            problems.add(0, "", "no object", "an object in braces");
        } catch (JsonText.NotJson wrong) {
            problems.add(0, "", String.valueOf(wrong.getMessage()), "JSON by RFC 8259 in UTF-8");
        }
        return new Reading(problems, limits).read(Map.of());
    }

    private static final class Reading {
        private final FileProblems problems;
        private final Limits limits;
        private final boolean readable;

        Reading(FileProblems problems, Limits limits) {
            this.problems = problems;
            this.limits = limits;
            this.readable = problems.none();
        }

        SentSubmission read(Map<?, ?> whole) {
            if (!readable) {
                return new SentSubmission(sheet(Map.of(), List.of()), Optional.empty());
            }
            known(whole, WHOLE, "");
            List<Worksheet.Sample> samples = soils(whole.get("soils"));
            Optional<String> promised = text(whole, "promised_on", "", 10);
            Optional<LocalDate> date = Optional.empty();
            try {
                date = promised.map(LocalDate::parse);
            } catch (DateTimeParseException wrong) {
                problems.add(0, "/promised_on", Problem.quoted(promised.orElse("")), "a date such as 2026-11-28");
            }
            if (text(whole, "client", "", LONGEST).isEmpty()) {
                problems.add(0, "/client", "nothing", "who sent it");
            }
            return new SentSubmission(sheet(whole, samples), date);
        }

        private Worksheet sheet(Map<?, ?> whole, List<Worksheet.Sample> samples) {
            Map<?, ?> origin = Map.of();
            Object given = whole.get("origin");
            if (given instanceof Map<?, ?> object) {
                known(object, ORIGIN, "/origin");
                origin = object;
            } else if (given != null) {
                problems.add(0, "/origin", shown(given), "an object with country and region");
            }
            Optional<String> country = text(origin, "country", "/origin", 2);
            if (country.filter(code -> !code.matches("[A-Z]{2}")).isPresent()) {
                problems.add(
                        0,
                        "/origin/country",
                        Problem.quoted(country.orElse("")),
                        "two capital letters by ISO 3166-1, such as IE");
            }
            Optional<String> region = text(origin, "region", "/origin", LONGEST);
            Optional<String> packageName = text(whole, "package", "", LONGEST);
            Optional<String> note = text(whole, "note", "", LONGEST);
            Optional<Boolean> water = Optional.empty();
            Object supplied = whole.get("water_supplied");
            if (supplied instanceof Boolean truth) {
                water = Optional.of(truth);
            } else if (supplied != null) {
                problems.add(0, "/water_supplied", shown(supplied), "true or false");
            }
            Optional<String> client = text(whole, "client", "", LONGEST);
            return new Worksheet(
                    client,
                    country,
                    region,
                    packageName,
                    water,
                    note,
                    problems.none() ? samples : List.of(),
                    List.of(),
                    problems.all());
        }

        private List<Worksheet.Sample> soils(@org.jspecify.annotations.Nullable Object given) {
            if (!(given instanceof List<?> list) || list.isEmpty()) {
                problems.add(0, "/soils", given == null ? "nothing" : shown(given), "a list of at least one soil");
                return List.of();
            }
            if (list.size() > limits.worksheetRows()) {
                problems.add(0, "/soils", list.size() + " soils", "at most " + limits.worksheetRows());
                return List.of();
            }
            List<Worksheet.Sample> samples = new ArrayList<>();
            for (int i = 0; i < list.size(); i++) {
                String place = "/soils/" + i;
                if (!(list.get(i) instanceof Map<?, ?> soil)) {
                    problems.add(i + 1, place, shown(list.get(i)), "an object with the label of the soil");
                    continue;
                }
                known(soil, SOIL, place);
                Optional<String> label = text(soil, "label", place, LONGEST_LABEL);
                if (label.isEmpty()) {
                    problems.add(i + 1, place + "/label", "nothing", "the label of this soil");
                }
                OptionalDouble top = depth(soil, "top_cm", place, i);
                OptionalDouble bottom = depth(soil, "bottom_cm", place, i);
                if (top.isPresent() != bottom.isPresent()
                        || (top.isPresent() && top.getAsDouble() >= bottom.getAsDouble())) {
                    problems.add(
                            i + 1,
                            place,
                            "a layer from " + told(top) + " to " + told(bottom) + " cm",
                            "both edges, the upper one less than the lower one, or neither");
                }
                samples.add(new Worksheet.Sample(
                        i + 1, label.orElse(""), top, bottom, text(soil, "package", place, LONGEST), i + 1));
            }
            return samples;
        }

        private static String told(OptionalDouble edge) {
            return edge.isPresent() ? Double.toString(edge.getAsDouble()) : "nothing";
        }

        private OptionalDouble depth(Map<?, ?> soil, String name, String place, int index) {
            Object given = soil.get(name);
            if (given == null) {
                return OptionalDouble.empty();
            }
            if (given instanceof BigDecimal number
                    && number.signum() >= 0
                    && number.compareTo(BigDecimal.valueOf(DEEPEST_CM)) <= 0) {
                return OptionalDouble.of(number.doubleValue());
            }
            problems.add(index + 1, place + "/" + name, shown(given), "a number of centimetres, 0 to 10000");
            return OptionalDouble.empty();
        }

        /** A text, stripped; one that is empty is as if it were not there. */
        private Optional<String> text(Map<?, ?> object, String name, String place, int longest) {
            Object given = object.get(name);
            if (given == null) {
                return Optional.empty();
            }
            if (given instanceof String text
                    && text.length() <= longest
                    && text.chars().noneMatch(Character::isISOControl)) {
                return Optional.of(text.strip()).filter(one -> !one.isEmpty());
            }
            problems.add(0, place + "/" + name, shown(given), "a text of up to " + longest + " characters on one line");
            return Optional.empty();
        }

        private void known(Map<?, ?> object, Set<String> names, String place) {
            for (Object name : object.keySet()) {
                if (!names.contains(name)) {
                    problems.add(
                            0,
                            place,
                            "the name " + Problem.quoted(String.valueOf(name)),
                            "no other than " + String.join(", ", new TreeSet<>(names)));
                }
            }
        }

        private static String shown(Object given) {
            if (given instanceof String text) {
                return Problem.quoted(text);
            }
            if (given instanceof Map<?, ?>) {
                return "an object";
            }
            if (given instanceof List<?> list) {
                return list.isEmpty() ? "an empty list" : "a list";
            }
            return given instanceof Optional<?> ? "null" : String.valueOf(given);
        }
    }
}
