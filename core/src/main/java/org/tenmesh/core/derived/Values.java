package org.tenmesh.core.derived;

import org.tenmesh.core.formula.Calculated;

/** What a method gives with some of what was measured at other values, by place. */
final class Values {
    private final Calculated[] numbers;
    private final String[] words;

    Values(Calculated[] numbers, String[] words) {
        this.numbers = numbers;
        this.words = words;
    }

    double of(int place) {
        return numbers[place].value();
    }

    /** The word at a place; empty text where there is none. */
    String word(int place) {
        return words[place];
    }
}
