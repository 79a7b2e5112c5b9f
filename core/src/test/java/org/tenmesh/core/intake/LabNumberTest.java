package org.tenmesh.core.intake;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

final class LabNumberTest {
    private static final LocalDate DAY = LocalDate.of(2026, 11, 25);

    @Test
    void namesTheNumberWithTheRightCheckCharacterFirst() {
        assertThat(LabNumber.likely("26329-0417-K")).first().isEqualTo(new LabNumber("26329-0417-T"));
    }

    /** Every digit changed and every two neighbours exchanged, on numbers of four and five digits. */
    @ParameterizedTest
    @ValueSource(ints = {1, 417, 4321, 12345})
    void findsTheNumberBehindOneWrongDigitOrTwoExchangedNeighbours(int serial) {
        LabNumber meant = LabNumber.of(DAY, serial);
        Set<String> typed = new HashSet<>();
        String text = meant.text();
        for (int i = 0; i < text.length() - 2; i++) {
            for (char digit = '0'; digit <= '9' && text.charAt(i) != '-'; digit++) {
                typed.add(text.substring(0, i) + digit + text.substring(i + 1));
            }
            if (Character.isDigit(text.charAt(i)) && Character.isDigit(text.charAt(i + 1))) {
                typed.add(text.substring(0, i) + text.charAt(i + 1) + text.charAt(i) + text.substring(i + 2));
            }
        }
        typed.remove(text);
        assertThat(typed).hasSizeGreaterThan(80);
        assertThat(typed)
                .filteredOn(wrong -> !CheckCharacter.holds(wrong))
                .allSatisfy(wrong ->
                        assertThat(LabNumber.likely(wrong)).contains(meant).allMatch(LabNumber::carriesCheckCharacter));
    }

    @Test
    void saysNothingOfARightNumberAndOfOtherForms() {
        for (String text : List.of("26329-0417-T", "0188", "A1", "26329-0417-k", "26329-417-K", "")) {
            assertThat(LabNumber.likely(text)).as(text).isEmpty();
        }
    }
}
