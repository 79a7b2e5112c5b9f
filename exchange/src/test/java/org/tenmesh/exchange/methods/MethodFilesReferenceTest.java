package org.tenmesh.exchange.methods;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tenmesh.core.methods.BufferTable;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.Source;

/** The shipped limits against the publications they are taken from. */
class MethodFilesReferenceTest {
    private static final EmissionMethod MEHLICH = (EmissionMethod) method("mehlich3-icp");
    private static final ElectrodeMethod PH = (ElectrodeMethod) method("ph-water-1-1");
    private static final IgnitionMethod LOI = (IgnitionMethod) method("om-loi-360");

    private static Method method(String id) {
        Method method = MethodFiles.shipped(id);
        if (method == null) {
            throw new AssertionError("no method " + id);
        }
        return method;
    }

    // Rayment & Lyons, Soil Chemical Methods - Australasia, CSIRO 2011, appendix 2 (working range from LOQ;
    // within-laboratory
    // figure is two standard deviations, % of value) and table 18.4 (lines, radial view).
    @ParameterizedTest
    @CsvSource({
        "P, 3, 17.5, 213.618",
        "K, 10, 15, 766.491",
        "Ca, 10, 15, 430.253",
        "Mg, 10, 15, 285.213",
        "Na, 10, 15, 589.592",
        "S, 5, 15, 181.972",
        "B, 0.25, 15, 249.772",
        "Cu, 0.25, 15, 324.754",
        "Fe, 5, 15, 259.940",
        "Mn, 1, 15, 257.610",
        "Zn, 0.15, 15, 213.857",
        "Al, 10, 15, 394.401"
    })
    void mehlich3LimitsAndLinesAreThePublishedOnes(String symbol, double loq, double twoSdPct, String wavelength) {
        var analyte = MEHLICH.analyte(symbol).orElseThrow();
        assertThat(analyte.reportingLimit().orElseThrow()).isEqualTo(loq);
        assertThat(analyte.withinRsdPct()).isCloseTo(twoSdPct / 2, within(1e-12));
        assertThat(MEHLICH.lines()).contains(new Extraction.Line(symbol + " " + wavelength, symbol, true));
    }

    // US EPA SW-846 method 6010D, July 2018, sections 9.7, 10.7, 10.8.
    @Test
    void calibrationIsAcceptedAs6010DSays() {
        assertThat(MEHLICH.extraction().acceptance()).isEqualTo(new Extraction.Acceptance(0.995, 20, 20, 10));
        assertThat(MEHLICH.extraction().verificationTolerancePct()).isEqualTo(10);
        assertThat(MEHLICH.extraction().blankShareOfLimit()).isEqualTo(0.5);
        assertThat(MEHLICH.extraction().duplicateLimitPct()).isEqualTo(20);
        assertThat(MEHLICH.extraction().weighting()).isEqualTo(Extraction.Weighting.ONE_OVER_X);
    }

    // Rayment & Lyons 2011, method 18F1: 4.00 g to 40.0 mL; over-range extracts are diluted with the extractant.
    @Test
    void extractionKeepsThePublishedRatioAndDiluent() {
        assertThat(MEHLICH.extraction().extractMl() / MEHLICH.extraction().soilG())
                .isEqualTo(40.0 / 4.00);
        assertThat(MEHLICH.extraction().diluent()).isEqualTo(Extraction.Diluent.EXTRACTANT);
    }

    // HJ 1147-2020 (China), buffer table, as transcribed in a public source file; interpolated at 22 °C by hand between
    // 20 and 25.
    @ParameterizedTest
    @CsvSource({"4.00, 22, 4.000", "6.86, 22, 6.873", "9.18, 22, 9.208", "4.00, 50, 4.055", "9.18, 0, 9.458"})
    void bufferTablesGiveThePublishedValues(String name, double celsius, double ph) {
        assertThat(buffer(name).phAt(celsius)).isCloseTo(ph, within(0.0005));
    }

    // Arrays of an open-source pH calibration library.
    @ParameterizedTest
    @CsvSource({"4.01, 25, 4.01", "4.01, 40, 4.04", "10.01, 25, 10.01", "10.01, 20, 10.06", "10.01, 0, 10.32"})
    void benchBuffersGiveTheLibrarysValues(String name, double celsius, double ph) {
        assertThat(buffer(name).phAt(celsius)).isCloseTo(ph, within(1e-9));
    }

    private static BufferTable buffer(String name) {
        return PH.buffers().stream()
                .filter(table -> table.name().equals(name))
                .findFirst()
                .orElseThrow();
    }

    // US LTER pH protocol, 2004: electrode efficiency 0.95 to 1.05. wastewater101.net, Laboratory 13, 2019: check
    // buffer within 0.1.
    @Test
    void electrodeLimitsAreThePublishedOnes() {
        assertThat(PH.slopeMinPct()).isEqualTo(95);
        assertThat(PH.slopeMaxPct()).isEqualTo(105);
        assertThat(PH.verificationTolerancePh()).isEqualTo(0.1);
    }

    // University of Minnesota and Rayment & Lyons 2011, 6G1: organic matter is the loss; UC Davis: detection limit 0.05
    // %;
    // Rayment & Lyons 2011, appendix 1: one decimal.
    @Test
    void organicMatterIsTheLossWithThePublishedLimit() {
        assertThat(LOI.organicMatter().organicMatterPct(3.1893)).isEqualTo(3.1893);
        assertThat(LOI.analyte("OM").orElseThrow().reportingLimit().orElseThrow())
                .isEqualTo(0.05);
        assertThat(LOI.analyte("LOI").orElseThrow().rounding().text(3.1893)).isEqualTo("3.2");
        assertThat(LOI.ashCelsius()).isEqualTo(360);
    }

    // Recalled or of the trade alone: shipped as settings, proved by nothing.
    private static final java.util.Set<String> WITHOUT_A_READ_SOURCE =
            java.util.Set.of("cation-ratios", "paste-bicarbonate", "ion-balance", "sar");

    @Test
    void everyMethodNamesSourcesWithTheirStandingAndShowsCautions() {
        for (Method method : MethodFiles.allShipped()) {
            boolean read =
                    method.head().sources().stream().anyMatch(source -> source.standing() == Source.Standing.READ);
            assertThat(read).as(method.id()).isEqualTo(!WITHOUT_A_READ_SOURCE.contains(method.id()));
            boolean measured = !(method instanceof DerivedMethod);
            boolean advice =
                    method instanceof DerivedMethod derived && derived.advice().isPresent();
            if (measured || advice) {
                assertThat(method.head().cautions()).as(method.id()).isNotEmpty();
            }
            assertThat(method.head().answers()).as(method.id()).endsWith("?");
        }
    }
}
