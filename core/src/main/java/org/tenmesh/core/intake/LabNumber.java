package org.tenmesh.core.intake;

import java.time.LocalDate;
import java.time.Year;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;

/**
 * The number a soil carries from layout on: any text of 1 to 32 printable characters that the laboratory uses. Numbers
 * given by Tenmesh are ordinal date, serial and check character: {@code 26329-0417-T}.
 */
public record LabNumber(String text) implements Comparable<LabNumber> {
    public LabNumber {
        if (text.isEmpty() || text.length() > 32) {
            throw new IllegalArgumentException("a lab number has 1 to 32 characters, found \"" + text + "\"");
        }
    }

    /**
     * A number of Tenmesh's own form.
     *
     * @param day the laboratory day
     * @param serial place in that day, 1 to 99999
     */
    public static LabNumber of(LocalDate day, int serial) {
        if (serial < 1 || serial > 99_999) {
            throw new IllegalArgumentException("a serial is 1 to 99999, found " + serial);
        }
        String date = String.format("%02d%03d", day.getYear() % 100, day.getDayOfYear());
        String number = serial < 10_000 ? String.format("%04d", serial) : Integer.toString(serial);
        return new LabNumber(date + "-" + number + "-" + CheckCharacter.of(date + number));
    }

    /** Whether this is a number of Tenmesh's own form with a right check character. */
    public boolean carriesCheckCharacter() {
        return text.matches("\\d{5}-\\d{4,5}-[0-9A-Z]") && CheckCharacter.holds(text);
    }

    /** The laboratory day it was given on, when it is a number of Tenmesh's own form: the century is 2000. */
    public Optional<LocalDate> date() {
        if (!carriesCheckCharacter()) {
            return Optional.empty();
        }
        int year = 2000 + Integer.parseInt(text.substring(0, 2));
        int dayOfYear = Integer.parseInt(text.substring(2, 5));
        boolean exists = dayOfYear >= 1 && dayOfYear <= Year.of(year).length();
        return exists ? Optional.of(LocalDate.ofYearDay(year, dayOfYear)) : Optional.empty();
    }

    /**
     * What a number of Tenmesh's own form with a wrong check character most likely means: the same digits with the right
     * one first, then every number from which it differs by two exchanged neighbours or by one digit. Empty when the check
     * character is right or the text is of another form. Which of them exist, the caller knows.
     */
    public static List<LabNumber> likely(String typed) {
        if (!typed.matches("\\d{5}-\\d{4,5}-[0-9A-Z]") || CheckCharacter.holds(typed)) {
            return List.of();
        }
        String body = typed.substring(0, typed.length() - 1);
        Set<String> found = new LinkedHashSet<>();
        found.add(body + CheckCharacter.of(body));
        char[] characters = typed.toCharArray();
        for (int i = 0; i + 1 < body.length() - 1; i++) {
            int next = characters[i + 1] == '-' ? i + 2 : i + 1;
            if (characters[i] != '-') {
                char[] exchanged = characters.clone();
                exchanged[i] = characters[next];
                exchanged[next] = characters[i];
                found.add(new String(exchanged));
            }
        }
        for (int i = 0; i < body.length() - 1; i++) {
            for (char digit = '0'; digit <= '9' && characters[i] != '-'; digit++) {
                char[] changed = characters.clone();
                changed[i] = digit;
                found.add(new String(changed));
            }
        }
        return found.stream().filter(CheckCharacter::holds).map(LabNumber::new).toList();
    }

    // A day looks lab numbers up by the million: a string remembers its hash, a record's own does not.
    @Override
    public int hashCode() {
        return text.hashCode();
    }

    @Override
    public boolean equals(Object other) {
        return other instanceof LabNumber number && text.equals(number.text);
    }

    @Override
    public int compareTo(LabNumber other) {
        return text.compareTo(other.text);
    }

    @Override
    public String toString() {
        return text;
    }
}
