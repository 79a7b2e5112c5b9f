package org.tenmesh.print.pictures;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import javax.imageio.ImageIO;
import javax.xml.parsers.DocumentBuilderFactory;
import org.junit.jupiter.api.Test;
import org.tenmesh.print.svg.Palette;
import org.tenmesh.print.svg.Palette.Tone;
import org.tenmesh.print.svg.Svg;
import org.tenmesh.print.svg.Svg.Paint;

/** A picture of a page as a file: read by the JDK's own XML and image readers, which know nothing of the page. */
class PictureFilesTest {
    private static String drawn() {
        Svg svg = Svg.ofPoints(Palette.SCREEN, "along", 100, 50, "Potassium & <more>", "Two points");
        svg.rectangle(10, 10, 30, 30, 0, Paint.fill(Tone.REDO));
        svg.point("/runs/ICP1?of=K&by=time", Svg.dot(80, 25, 6), Paint.fill(Tone.HOLD), "K 124 %", 1, 2);
        svg.point("", Svg.dot(60, 25, 3), Paint.fill(Tone.INK), "K 99 %", 1, 2);
        return svg.words(45, 40, 12, "start", true, Tone.INK, "ΔK ▲").end();
    }

    @Test
    void theSvgFileIsWellFormedAndNeedsNothingElse() throws Exception {
        byte[] file = PictureFiles.svg(drawn());
        var parsed = DocumentBuilderFactory.newInstance().newDocumentBuilder().parse(new ByteArrayInputStream(file));
        assertThat(parsed.getDocumentElement().getAttribute("viewBox")).isEqualTo("0 0 100 50");
        assertThat(parsed.getElementsByTagName("title").item(0).getTextContent())
                .isEqualTo("Potassium & <more>");
        assertThat(parsed.getElementsByTagName("a").getLength()).isZero();
        String text = new String(file, StandardCharsets.UTF_8);
        assertThat(text).doesNotContain("var(", "href", "tabindex").contains("K 124 %", "#a3231c");
    }

    @Test
    void thePngHasTwiceTheSizeAndTheColoursOfPaper() throws IOException {
        BufferedImage image = ImageIO.read(new ByteArrayInputStream(PictureFiles.png(drawn())));
        assertThat(image.getWidth()).isEqualTo(200);
        assertThat(image.getHeight()).isEqualTo(100);
        assertThat(image.getRGB(2, 2) & 0xffffff).isEqualTo(0xffffff);
        assertThat(image.getRGB(50, 50) & 0xffffff).isEqualTo(0xa3231c);
        assertThat(image.getRGB(160, 50) & 0xffffff).isEqualTo(0x9a5b00);
        int ink = 0;
        for (int x = 90; x < 150; x++) {
            for (int y = 60; y < 84; y++) {
                ink += (image.getRGB(x, y) & 0xffffff) == 0x1c2321 ? 1 : 0;
            }
        }
        assertThat(ink).as("pixels of the words").isGreaterThan(60);
    }

    @Test
    void aHugePictureIsDrawnLessSharply() throws IOException {
        String huge = new Svg(Palette.SCREEN, "along", 9000, 4000, "Large", "").end();
        BufferedImage image = ImageIO.read(new ByteArrayInputStream(PictureFiles.png(huge)));
        assertThat((long) image.getWidth() * image.getHeight()).isBetween(15_000_000L, 16_100_000L);
    }

    @Test
    void takesNothingElse() {
        assertThatThrownBy(() -> PictureFiles.png("<svg><image href=\"file:/etc/passwd\"/></svg>"))
                .isInstanceOf(IllegalArgumentException.class)
                .hasMessageContaining("expected");
    }
}
