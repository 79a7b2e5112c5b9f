package org.tenmesh.core.intake;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.LocalDate;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * ISO/IEC 7064 MOD 37,36: vectors of the open library konfirm/node-iso7064, test of Mod37_36 (after LiosK/cdigit), and of
 * the open library xbib standardnumber, test of MOD3736.
 */
class CheckCharacterReferenceTest {
    // The scheme's promise: every single wrong character is found.
    @Test
    void findsEverySingleWrongCharacter() {
        String alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
        String whole = "263290417" + CheckCharacter.of("263290417");
        for (int place = 0; place < whole.length(); place++) {
            for (char c : alphabet.toCharArray()) {
                if (c != whole.charAt(place)) {
                    String wrong = whole.substring(0, place) + c + whole.substring(place + 1);
                    assertThat(CheckCharacter.holds(wrong)).as(wrong).isFalse();
                }
            }
        }
    }

    @ParameterizedTest
    @ValueSource(strings = {"", "A", "-", "26329-0417-", "26329-0417-é", "26329 0417-K", "26329-0417-k"})
    void takesMalformedTextForWrong(String text) {
        assertThat(CheckCharacter.holds(text)).isFalse();
    }

    @Test
    void saysWhichCharacterItCannotUse() {
        assertThatThrownBy(() -> CheckCharacter.of("26a")).hasMessageContaining("'a' at place 3");
        assertThatThrownBy(() -> CheckCharacter.of("--")).hasMessageContaining("nothing to check");
    }

    // 25 November 2026 is day 329 of its year (ISO 8601 ordinal date).
    @Test
    void buildsALabNumberFromOrdinalDateSerialAndCheck() {
        LabNumber number = LabNumber.of(LocalDate.of(2026, 11, 25), 417);
        assertThat(number.text()).startsWith("26329-0417-");
        assertThat(number.carriesCheckCharacter()).isTrue();
        assertThat(CheckCharacter.holds(number.text())).isTrue();
        assertThat(LabNumber.of(LocalDate.of(2026, 1, 1), 12345).text()).startsWith("26001-12345-");
        assertThat(new LabNumber("LAB-7").carriesCheckCharacter()).isFalse();
        assertThat(new LabNumber("26329-0471-" + number.text().charAt(11)).carriesCheckCharacter())
                .isFalse();
    }

    @Test
    void refusesNumbersThatNoLabelHolds() {
        assertThatThrownBy(() -> LabNumber.of(LocalDate.of(2026, 1, 1), 0)).hasMessageContaining("found 0");
        assertThatThrownBy(() -> LabNumber.of(LocalDate.of(2026, 1, 1), 100_000))
                .hasMessageContaining("100000");
        assertThatThrownBy(() -> new LabNumber("")).hasMessageContaining("1 to 32");
        assertThatThrownBy(() -> new LabNumber("x".repeat(33))).hasMessageContaining("1 to 32");
    }
}
