package org.tenmesh.exchange.methods;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.OptionalInt;
import org.junit.jupiter.api.Test;
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

    // US EPA SW-846 method 6010D, July 2018, sections 9.7, 10.7, 10.8.
    @Test
    void calibrationIsAcceptedAs6010DSays() {
        assertThat(MEHLICH.extraction().acceptance())
                .isEqualTo(new Extraction.Acceptance(0.995, 20, 20, 10, OptionalInt.of(4)));
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
