package org.tenmesh.core.bench;

import java.util.Arrays;
import java.util.Optional;

/** A number that is noted with an act, with its unit and the range in which it can be. */
public enum Measure {
    /** First bag of a submission that lies on a rack, by its sheet. */
    FIRST_BAG("first-bag", "", 1, 100_000),
    /** Last bag of the same. */
    LAST_BAG("last-bag", "", 1, 100_000),
    /** Place on the rack, of the first bag or of the one that was weighed. */
    PLACE("place", "", 1, 10_000),
    /** 1 where the soil is regulated, 0 where it is not. */
    REGULATED("regulated", "", 0, 1),
    TEMPERATURE_C("temperature-c", "°C", -30, 250),
    MASS_G("mass-g", "g", 0.001, 100_000),
    /** What stays on the sieve of 2 mm. */
    COARSE_G("coarse-g", "g", 0, 100_000);

    private final String word;
    private final String unit;
    private final double least;
    private final double most;

    Measure(String word, String unit, double least, double most) {
        this.word = word;
        this.unit = unit;
        this.least = least;
        this.most = most;
    }

    /** The word in what is kept. */
    public String word() {
        return word;
    }

    /** Why a number cannot be this; empty when it can. */
    public Optional<String> refusal(double number) {
        return number >= least && number <= most
                ? Optional.empty()
                : Optional.of(
                        "found " + number + ", expected " + least + " to " + most + (unit.isEmpty() ? "" : " " + unit));
    }

    public static Optional<Measure> of(String word) {
        return Arrays.stream(values())
                .filter(measure -> measure.word.equals(word))
                .findFirst();
    }
}
