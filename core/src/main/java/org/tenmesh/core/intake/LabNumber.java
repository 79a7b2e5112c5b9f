package org.tenmesh.core.intake;

import java.time.LocalDate;
import java.time.Year;
import java.util.Optional;

/**
 * The number a soil carries from layout on: any text of 1 to 32 printable characters that the laboratory uses. Numbers
 * given by Tenmesh are ordinal date, serial and check character: {@code 26329-0417-K}.
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
