package org.tenmesh.core.quantity;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Units as the Unified Code for Units of Measure, version 2.2, 2024, defines them. */
class DimensionReferenceTest {
    @ParameterizedTest
    @CsvSource({
        "mg/kg, ug/g",
        "meq/L, mmol/L",
        "mS/cm, dS/m",
        "g/L, kg/m3",
        "mg/dm3, mg/L",
        "cmol/kg, mol/kg.%",
        "t/har, hg/m2",
        "mg/L.mL/g, mg/kg",
        "/s, s-1"
    })
    void saysWhatIsTheSame(String one, String other) {
        assertThat(Dimension.of(one)).isEqualTo(Dimension.of(other));
    }

    @ParameterizedTest
    @CsvSource({"mg/kg, mg/L", "%, 1", "cmol/kg, mg/kg", "[lb_av]/[acr_us], kg/har", "cm, [in_i]", "{A}, 1"})
    void saysWhatIsNot(String one, String other) {
        assertThat(Dimension.of(one)).isNotEqualTo(Dimension.of(other));
    }

    /** National Institute of Standards and Technology, Special Publication 1038, 2006, and the 1959 yard: 1 lb/acre = 1.12085 kg/ha, a short ton 907.18474 kg (from memory). */
    @Test
    void poundsOnAnAcre() {
        assertThat(Dimension.of("[lb_av]/[acr_us]").over(Dimension.of("kg/har")).toString())
                .isEqualTo("1.121");
        assertThat(Dimension.of("[ston_av]").over(Dimension.of("kg")).toString())
                .isEqualTo("907.2");
    }

    @ParameterizedTest
    @EnumSource(Unit.class)
    void everyUnitOfTheLaboratoryHasOne(Unit unit) {
        assertThat(Dimension.of(unit)).isNotNull();
    }

    @ParameterizedTest
    @ValueSource(strings = {"mg//kg", "ppm", "mg/", "xg", "lb"})
    void refusesWhatItDoesNotKnow(String code) {
        assertThatThrownBy(() -> Dimension.of(code)).isInstanceOf(IllegalArgumentException.class);
    }
}
