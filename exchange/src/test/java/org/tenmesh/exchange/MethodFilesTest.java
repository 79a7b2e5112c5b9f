package org.tenmesh.exchange;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.methods.EmissionMethod;

class MethodFilesTest {
    @Test
    void shipsThreeMethodsWithEveryAnalyteAsSpecified() {
        var methods = MethodFiles.shipped();
        assertThat(methods.keySet()).containsExactly("ph-water-1-1", "om-loi-360", "mehlich3-icp");
        assertThat(methods.get("mehlich3-icp")).isInstanceOfSatisfying(EmissionMethod.class, method -> {
            assertThat(method.head().analytes())
                    .extracting(a -> a.symbol())
                    .isEqualTo(List.of("P", "K", "Ca", "Mg", "Na", "S", "B", "Cu", "Fe", "Mn", "Zn", "Al"));
            assertThat(method.internalStandard()).contains("Y 371.029");
        });
    }
}
