package org.tenmesh.print.drawings;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import org.junit.jupiter.api.Test;
import org.tenmesh.print.svg.Palette;

/** Our own pictures, character by character: a change here must be looked at, then the file renewed. */
class DrawingsRegressionTest {
    @Test
    void drawsTheSameSmallPlateAsBefore() throws Exception {
        assertThat(PlateDrawing.of(Gallery.plate("dddhddrdddww", 5, true), 28, Palette.SCREEN))
                .isEqualToNormalizingNewlines(golden("plate-28.svg"));
    }

    private static String golden(String name) throws Exception {
        try (var stream = DrawingsRegressionTest.class.getResourceAsStream(name)) {
            assertThat(stream).as(name).isNotNull();
            return new String(stream.readAllBytes(), StandardCharsets.UTF_8);
        }
    }
}
