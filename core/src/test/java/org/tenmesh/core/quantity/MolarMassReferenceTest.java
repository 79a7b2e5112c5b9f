package org.tenmesh.core.quantity;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class MolarMassReferenceTest {
    // Rayment & Lyons 2011, method 4C1: 1 M KCl is 74.55 g/L; method 7C1: 2 M is 149.1 g/L.
    @Test
    void weighsSaltsAsTheirRecipesDo() {
        assertThat(MolarMass.of("KCl")).isCloseTo(74.55, within(0.005));
        assertThat(2 * MolarMass.of("KCl")).isCloseTo(149.1, within(0.05));
        assertThat(MolarMass.of("Ca(H2PO4)2")).isCloseTo(MolarMass.of("CaH4P2O8"), within(1e-9));
    }

    @ParameterizedTest
    @CsvSource({"Xx,Xx", "Ca(OH,open", "CaO),place 4", "2H,2", "'',place 1"})
    void saysWhatItCannotRead(String formula, String word) {
        assertThatThrownBy(() -> MolarMass.of(formula)).hasMessageContaining(word);
    }

    @Test
    void saysWhichElementIsNotThere() {
        assertThatThrownBy(() -> MolarMass.factor("P", "K2O", "P")).hasMessage("there is no P in K2O");
    }
}
