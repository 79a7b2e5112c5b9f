package org.tenmesh.proof.people;

import static org.assertj.core.api.Assertions.assertThat;

import com.ibm.icu.text.SpoofChecker;
import java.text.Normalizer;
import java.util.List;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.tenmesh.store.people.PersonName;

/**
 * Letters that look alike against ICU4J, a library of the Unicode Consortium, which carries the confusables of Unicode Technical
 * Standard 39, Unicode Security Mechanisms.
 */
final class NamesReferenceTest {
    private final SpoofChecker checker = new SpoofChecker.Builder().build();

    /** Every Latin, Greek, Cyrillic and Armenian letter that the standard takes for a letter of ASCII. */
    @Test
    void takesForAlikeWhatTheStandardTakesForAlike() {
        List<String> letters = IntStream.range(0x80, 0x590)
                .filter(Character::isLetter)
                .mapToObj(Character::toString)
                // Other forms of a letter are refused by themselves.
                .filter(letter -> Normalizer.isNormalized(letter, Normalizer.Form.NFKC))
                .filter(letter -> checker.getSkeleton(letter).matches("[A-Za-z]"))
                .toList();
        assertThat(letters).hasSizeGreaterThan(80);
        assertThat(letters)
                .allSatisfy(letter -> assertThat(
                                PersonName.alike("R. Qu" + letter + "ll", "R. Qu" + checker.getSkeleton(letter) + "ll"))
                        .isTrue());
    }

    @Test
    void tellsLettersOfAsciiApartThatTheStandardTellsApart() {
        for (char one = 'a'; one <= 'z'; one++) {
            for (char other = 'a'; other <= 'z'; other++) {
                boolean sameWithoutCapitals = "il".indexOf(one) >= 0 && "il".indexOf(other) >= 0;
                assertThat(PersonName.alike("Qu" + one + "x", "Qu" + other + "x"))
                        .as("%s and %s", one, other)
                        .isEqualTo(one == other || sameWithoutCapitals);
            }
        }
    }
}
