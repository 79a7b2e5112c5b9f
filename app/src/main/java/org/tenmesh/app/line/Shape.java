package org.tenmesh.app.line;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Stream;

/**
 * What a command takes.
 *
 * @param word its name as typed
 * @param says one sentence for the list of commands
 * @param places what must follow it, in order: {@code DAY}
 * @param options what may follow it, in the order of the help page
 * @param notes further lines of its help page
 */
public record Shape(String word, String says, List<Place> places, List<Option> options, List<String> notes) {

    /** So many options are shown when a call is wrong. */
    private static final int FEW_OPTIONS = 5;

    /**
     * Something that is given by its place: {@code DAY}, a day folder.
     *
     * @param name ends with {@code …} when several may follow; only the last may
     * @param required whether the command cannot do without it; those that may be left out come last
     */
    public record Place(String name, String says, boolean required) {
        public Place(String name, String says) {
            this(name, says, true);
        }

        public static Place optional(String name, String says) {
            return new Place(name, says, false);
        }

        private boolean several() {
            return name.endsWith("…");
        }
    }

    /**
     * Something that may be given by its name.
     *
     * @param name with its dashes
     * @param value what follows it; empty text when nothing does
     * @param required whether the command cannot do without it
     */
    public record Option(String name, String value, boolean required, String says) {
        public static Option flag(String name, String says) {
            return new Option(name, "", false, says);
        }

        public static Option of(String name, String value, String says) {
            return new Option(name, value, false, says);
        }

        public static Option required(String name, String value, String says) {
            return new Option(name, value, true, says);
        }

        private String typed() {
            return value.isEmpty() ? name : name + " " + value;
        }
    }

    public Shape {
        places = List.copyOf(places);
        options = List.copyOf(options);
        notes = List.copyOf(notes);
    }

    /** How it is typed: {@code tenmesh judge DAY --out DIR}. */
    public String usage() {
        StringBuilder text = new StringBuilder("tenmesh ").append(word);
        for (Place place : places) {
            text.append(' ').append(place.required() ? place.name() : "[" + place.name() + "]");
        }
        for (Option option : options) {
            text.append(' ').append(option.required() ? option.typed() : "[" + option.typed() + "]");
        }
        return text.toString();
    }

    /** {@link #usage()} where it is short; of many options the required ones alone. */
    private String shortUsage() {
        List<Option> optional =
                options.stream().filter(option -> !option.required()).toList();
        if (optional.size() <= FEW_OPTIONS) {
            return usage();
        }
        List<Option> required = options.stream().filter(Option::required).toList();
        return new Shape(word, says, places, required, notes).usage() + " [OPTION…]; tenmesh help " + word
                + " lists the options";
    }

    /** The command's help page. */
    public String help() {
        StringBuilder text = new StringBuilder();
        text.append(usage()).append("\n\n").append(says).append("\n");
        if (!places.isEmpty() || !options.isEmpty()) {
            text.append('\n');
        }
        for (Place place : places) {
            text.append(String.format("  %-20s %s%n", place.name(), place.says()));
        }
        for (Option option : options) {
            text.append(String.format("  %-20s %s%n", option.typed(), option.says()));
        }
        if (!notes.isEmpty()) {
            text.append('\n');
            notes.forEach(note -> text.append(note).append('\n'));
        }
        return text.toString();
    }

    /**
     * Sorts what was typed after the command's word.
     *
     * @throws CannotUse if something is missing, unknown or too much
     */
    public Given sort(List<String> typed) {
        Map<String, List<String>> named = new LinkedHashMap<>();
        List<String> placed = new ArrayList<>();
        boolean onlyPlaces = false;
        for (int i = 0; i < typed.size(); i++) {
            String word = typed.get(i);
            if (onlyPlaces || !word.startsWith("-") || word.equals("-")) {
                placed.add(word);
                continue;
            }
            if (word.equals("--")) {
                onlyPlaces = true;
                continue;
            }
            int equals = word.indexOf('=');
            String name = equals < 0 ? word : word.substring(0, equals);
            Option option = option(name)
                    .orElseThrow(() -> wrong("there is no option " + name
                            + Nearest.perhaps(
                                    name,
                                    Stream.concat(options.stream().map(Option::name), Stream.of("--help"))
                                            .toList())));
            String value = "";
            if (option.value().isEmpty()) {
                if (equals >= 0) {
                    throw wrong(name + " takes no value");
                }
            } else if (equals >= 0) {
                value = word.substring(equals + 1);
            } else if (i + 1 < typed.size()) {
                value = typed.get(++i);
            } else {
                throw wrong(name + " needs " + option.value() + " after it");
            }
            named.computeIfAbsent(name, key -> new ArrayList<>()).add(value);
        }
        List<String> amiss = new ArrayList<>();
        for (Place place : places.subList(Math.min(placed.size(), places.size()), places.size())) {
            if (place.required()) {
                amiss.add(place.name() + " is missing (" + place.says() + ")");
            }
        }
        boolean open = !places.isEmpty() && places.get(places.size() - 1).several();
        if (placed.size() > places.size() && !open) {
            amiss.add("\"" + placed.get(places.size()) + "\" is one word too many");
        }
        for (Option option : options) {
            if (option.required() && !named.containsKey(option.name())) {
                amiss.add(option.typed() + " is missing (" + option.says() + ")");
            }
        }
        if (!amiss.isEmpty()) {
            throw wrong(String.join("\n  ", amiss));
        }
        return new Given(placed, named);
    }

    private Optional<Option> option(String name) {
        return options.stream().filter(option -> option.name().equals(name)).findFirst();
    }

    private CannotUse wrong(String what) {
        return new CannotUse(what + "\nUsage: " + shortUsage());
    }

    /** What was typed, sorted; names and places are those of the shape. */
    public record Given(List<String> placed, Map<String, List<String>> named) {
        public String place(int index) {
            return placed.get(index);
        }

        public boolean has(String name) {
            return named.containsKey(name);
        }

        /** The value given last, or empty when the option was not given. */
        public Optional<String> text(String name) {
            List<String> values = all(name);
            return values.isEmpty() ? Optional.empty() : Optional.of(values.get(values.size() - 1));
        }

        public List<String> all(String name) {
            return named.getOrDefault(name, List.of());
        }

        /**
         * A whole number.
         *
         * @param fallback when the option was not given
         * @throws CannotUse if it is no whole number from {@code least} to {@code most}
         */
        public long number(String name, long fallback, long least, long most) {
            Optional<String> text = text(name);
            if (text.isEmpty()) {
                return fallback;
            }
            try {
                long number = Long.parseLong(text.get());
                if (number >= least && number <= most) {
                    return number;
                }
            } catch (NumberFormatException notANumber) {
                // Said below, together with numbers out of range.
            }
            throw new CannotUse(
                    name + " takes a whole number from " + least + " to " + most + ", found \"" + text.get() + "\"");
        }

        /**
         * A number above 0.
         *
         * @throws CannotUse if it is none
         */
        public OptionalDouble above0(String name) {
            Optional<String> text = text(name);
            if (text.isEmpty()) {
                return OptionalDouble.empty();
            }
            try {
                double number = Double.parseDouble(text.get());
                if (number > 0 && Double.isFinite(number)) {
                    return OptionalDouble.of(number);
                }
            } catch (NumberFormatException notANumber) {
                // Said below, together with numbers out of range.
            }
            throw new CannotUse(name + " takes a number above 0, found \"" + text.get() + "\"");
        }
    }
}
