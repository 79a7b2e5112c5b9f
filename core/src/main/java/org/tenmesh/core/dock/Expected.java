package org.tenmesh.core.dock;

import java.util.HashSet;
import java.util.List;
import java.util.Set;

/**
 * What the sheet of a submission says that is to come.
 *
 * @param submission the laboratory's name for it
 * @param bags in the order of the sheet, at least one
 * @param origin as the sheet says it
 */
public record Expected(String submission, List<Bag> bags, Origin origin) {
    /** @throws IllegalArgumentException where it names no bag, or a number of the sheet twice */
    public Expected {
        bags = List.copyOf(bags);
        Set<Integer> numbers = new HashSet<>();
        if (submission.isBlank() || bags.isEmpty() || !bags.stream().allMatch(bag -> numbers.add(bag.number()))) {
            throw new IllegalArgumentException("submission \"" + submission + "\" with " + bags.size()
                    + " bags: expected a name, one bag or more, and each number once");
        }
    }

    /**
     * One bag of the sheet.
     *
     * @param number its place on the sheet, from 1
     * @param label as the client wrote it
     * @param layer such as "0 to 15 cm"; may be empty
     */
    public record Bag(int number, String label, String layer) {
        public Bag {
            if (number < 1) {
                throw new IllegalArgumentException("bag " + number + ": expected 1 or more");
            }
        }

        /** Label and layer. */
        public String words() {
            return layer.isEmpty() ? label : label + ", " + layer;
        }
    }

    /**
     * The bags that may be meant by what was scanned or typed: those with this label; where there is none, the one with this number; {@code #7} is
     * always a number.
     */
    public List<Bag> meant(String scanned) {
        String text = scanned.strip();
        List<Bag> labelled = bags.stream()
                .filter(bag -> bag.label().strip().equalsIgnoreCase(text)
                        || bag.words().equalsIgnoreCase(text))
                .toList();
        if (!labelled.isEmpty()) {
            return labelled;
        }
        String number = text.startsWith("#") ? text.substring(1) : text;
        return number.matches("[0-9]{1,6}")
                ? bags.stream()
                        .filter(bag -> bag.number() == Integer.parseInt(number))
                        .toList()
                : List.of();
    }
}
