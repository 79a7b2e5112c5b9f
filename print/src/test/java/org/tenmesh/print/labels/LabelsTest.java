package org.tenmesh.print.labels;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.google.zxing.BarcodeFormat;
import com.google.zxing.BinaryBitmap;
import com.google.zxing.DecodeHintType;
import com.google.zxing.RGBLuminanceSource;
import com.google.zxing.Result;
import com.google.zxing.common.HybridBinarizer;
import com.google.zxing.oned.Code128Reader;
import java.awt.image.BufferedImage;
import java.io.StringReader;
import java.time.LocalDate;
import java.util.Map;
import java.util.OptionalInt;
import org.apache.batik.transcoder.TranscoderInput;
import org.apache.batik.transcoder.TranscoderOutput;
import org.apache.batik.transcoder.image.ImageTranscoder;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.print.svg.Svg;

class LabelsTest {
    /** Draws the label at twice its size and reads its bars like a scanner. */
    private static String scan(String svg) throws Exception {
        BufferedImage[] drawn = new BufferedImage[1];
        ImageTranscoder transcoder = new ImageTranscoder() {
            @Override
            public BufferedImage createImage(int width, int height) {
                return new BufferedImage(width, height, BufferedImage.TYPE_INT_RGB);
            }

            @Override
            public void writeImage(BufferedImage image, TranscoderOutput output) {
                drawn[0] = image;
            }
        };
        transcoder.addTranscodingHint(ImageTranscoder.KEY_WIDTH, 900f);
        transcoder.transcode(new TranscoderInput(new StringReader(svg)), new TranscoderOutput());
        BufferedImage image = drawn[0];
        int width = image.getWidth();
        int height = image.getHeight();
        int[] pixels = image.getRGB(0, 0, width, height, null, 0, width);
        BinaryBitmap bitmap = new BinaryBitmap(new HybridBinarizer(new RGBLuminanceSource(width, height, pixels)));
        Result result = new Code128Reader().decode(bitmap, Map.of(DecodeHintType.TRY_HARDER, true));
        assertThat(result.getBarcodeFormat()).isEqualTo(BarcodeFormat.CODE_128);
        return result.getText();
    }

    @ParameterizedTest
    @ValueSource(strings = {"26329-0417-K", "26329-12345-Q", "0188", "A1", "Tray ~ {x} 7", "26110417"})
    void isReadBackByAScanner(String text) throws Exception {
        String svg = Labels.code128(text);
        assertThat(scan(svg)).isEqualTo(text);
        assertThat(svg).contains(">" + Svg.escape(text) + "</text>");
    }

    @Test
    void readsBackTheLabelsOfSoilsAndTrays() throws Exception {
        for (int serial : new int[] {1, 417, 4000, 12_345}) {
            LabNumber number = LabNumber.of(LocalDate.of(2026, 11, 25), serial);
            for (boolean regulated : new boolean[] {false, true}) {
                assertThat(scan(Labels.soil(number, "North bench 4", regulated)))
                        .isEqualTo(number.text());
            }
        }
        assertThat(scan(Labels.tray("0188", OptionalInt.of(2), true))).isEqualTo("0188");
        assertThat(scan(Labels.tray("0188", OptionalInt.empty(), false))).isEqualTo("0188");
    }

    @Test
    void showsRegulatedByWordDiamondAndDashedFrame() {
        LabNumber number = LabNumber.of(LocalDate.of(2026, 11, 25), 417);
        String apart = Labels.soil(number, "", true);
        String plain = Labels.soil(number, "", false);
        assertThat(apart).contains("REGULATED SOIL", "stroke-dasharray", ", regulated</title>");
        assertThat(plain).doesNotContainIgnoringCase("regulated").doesNotContain("stroke-dasharray");
    }

    @Test
    void saysWhereTheKeyWellOfATrayLies() {
        assertThat(Labels.tray("0188", OptionalInt.of(2), false)).contains("Tray 0188", "key well A3");
    }

    @Test
    void refusesWhatBarsCannotCarry() {
        for (String text : new String[] {"", "Žďár", "a\nb", "x".repeat(49)}) {
            assertThatThrownBy(() -> Labels.code128(text))
                    .isInstanceOf(IllegalArgumentException.class)
                    .hasMessageContaining("1 to 48 printable ASCII characters");
        }
    }

    @Test
    void shortensALineThatDoesNotFit() {
        LabNumber number = LabNumber.of(LocalDate.of(2026, 11, 25), 417);
        assertThat(Labels.soil(number, "behind the old mill along the river as far as the third gate", false))
                .contains("behind the old mill")
                .contains("…")
                .doesNotContain("third gate</text>");
    }
}
