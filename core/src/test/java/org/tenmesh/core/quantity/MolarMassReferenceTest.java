package org.tenmesh.core.quantity;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class MolarMassReferenceTest {
    // Rayment & Lyons 2011, Soil Chemical Methods - Australasia, appendix 5, where it agrees with atomic weights (it
    // prints
    // CaO 1.339, K2O 1.21 and MgO 1.67, which do not).
    @ParameterizedTest
    @CsvSource({"P,P2O5,P,2.291", "S,SO4,S,2.996", "N,NO3,N,4.427", "P,PO4,P,3.066"})
    void agreesWithPrintedFactors(String from, String to, String element, double factor) {
        assertThat(MolarMass.factor(from, to, element)).isCloseTo(factor, within(5e-4));
        assertThat(MolarMass.factor(to, from, element) * MolarMass.factor(from, to, element))
                .isCloseTo(1, within(1e-12));
    }

    // Rayment & Lyons 2011, method 15D3.
    @ParameterizedTest
    @CsvSource({"Ca,2,200.4,0.05", "Mg,2,121.53,0.0051", "K,1,390.98,0.005", "Na,1,229.9,0.05"})
    void agreesWithPrintedCentimoles(String element, int charge, double mgPerKg, double within) {
        assertThat(MolarMass.mgPerKgOfOneCentimole(element, charge)).isCloseTo(mgPerKg, within(within));
    }

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
