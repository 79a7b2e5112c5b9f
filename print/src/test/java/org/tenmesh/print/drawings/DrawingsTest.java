package org.tenmesh.print.drawings;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.StringReader;
import java.net.MalformedURLException;
import java.net.URL;
import java.net.URLClassLoader;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import javax.xml.parsers.DocumentBuilderFactory;
import org.jspecify.annotations.NullMarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.print.drawings.SmallDrawings.Light;
import org.tenmesh.print.drawings.SmallDrawings.LightState;
import org.tenmesh.print.drawings.SmallDrawings.Promises;
import org.tenmesh.print.svg.Palette;
import org.w3c.dom.Element;
import org.w3c.dom.NodeList;
import org.xml.sax.InputSource;

class DrawingsTest {
    private static Element parse(String svg) throws Exception {
        return DocumentBuilderFactory.newInstance()
                .newDocumentBuilder()
                .parse(new InputSource(new StringReader(svg)))
                .getDocumentElement();
    }

    private static List<Element> elements(Element root, String name) {
        NodeList list = root.getElementsByTagName(name);
        List<Element> found = new ArrayList<>();
        for (int i = 0; i < list.getLength(); i++) {
            found.add((Element) list.item(i));
        }
        return found;
    }

    private static int subpaths(Element root, String fillPart) {
        int count = 0;
        for (Element path : elements(root, "path")) {
            if (path.getAttribute("fill").contains(fillPart)) {
                count += (int)
                        path.getAttribute("d").chars().filter(c -> c == 'M').count();
            }
        }
        return count;
    }

    @ParameterizedTest
    @ValueSource(ints = {20, 28, 40, 84, 210, 420})
    void drawsEveryWellAtAnySize(int width) throws Exception {
        Element root = parse(PlateDrawing.of(Gallery.plate("dddddrrhwwwe", 0, false), width, Palette.SCREEN));
        // well A1 is the key: a ring; the rest are one shape each
        assertThat(elements(root, "circle")).hasSize(1);
        assertThat(subpaths(root, "--redo,")).isEqualTo(2);
        assertThat(subpaths(root, "--hold,")).isEqualTo(1);
        assertThat(root.getAttribute("role")).isEqualTo("img");
        assertThat(root.getFirstChild().getTextContent())
                .isEqualTo("Tray 0188: 2 redo, 1 hold, 4 done, 3 waiting, 1 empty");
        assertThat(elements(root, "desc").get(0).getTextContent()).isEqualTo("redo: B2 B3. hold: B4. Key well A1.");
        assertThat(Double.parseDouble(root.getAttribute("width"))).isEqualTo(width);
    }

    @Test
    void tellsHoldAndRedoApartWithoutColour() {
        String hold = PlateDrawing.of(Gallery.plate("hdddddddddde", -1, false), 28, Palette.PAPER);
        String redo = PlateDrawing.of(Gallery.plate("rdddddddddde", -1, false), 28, Palette.PAPER);
        Pattern colour = Pattern.compile("#[0-9a-f]{6}");
        assertThat(colour.matcher(hold).replaceAll(""))
                .isNotEqualTo(colour.matcher(redo).replaceAll("").replace("redo", "hold"));
    }

    @Test
    void underlinesARegulatedTrayWithDashes() throws Exception {
        Element apart = parse(PlateDrawing.of(Gallery.plate("dddddddddddd", 3, true), 28, Palette.SCREEN));
        Element plain = parse(PlateDrawing.of(Gallery.plate("dddddddddddd", 3, false), 28, Palette.SCREEN));
        assertThat(elements(apart, "path").stream()
                        .filter(p -> !p.getAttribute("stroke-dasharray").isEmpty()))
                .hasSize(1);
        assertThat(elements(plain, "path").stream()
                        .filter(p -> !p.getAttribute("stroke-dasharray").isEmpty()))
                .isEmpty();
        assertThat(apart.getFirstChild().getTextContent()).endsWith(", regulated");
        assertThat(apart.getAttribute("height")).isEqualTo(plain.getAttribute("height"));
    }

    @Test
    void namesTheWellsOnALargePlate() throws Exception {
        Element root = parse(PlateDrawing.of(Gallery.plate("dddddnwwwwww", 2, false), 420, Palette.SCREEN));
        assertThat(elements(root, "text").stream().map(Element::getTextContent))
                .containsExactly(
                        "cut corner up, left",
                        "A1",
                        "A2",
                        "A3",
                        "key",
                        "A4",
                        "B1",
                        "B2",
                        "B3",
                        "B4",
                        "C1",
                        "C2",
                        "C3",
                        "C4");
    }

    @Test
    void refusesAPlateOfElevenWells() {
        assertThatThrownBy(() -> Gallery.plate("ddddddddddd", 0, false))
                .hasMessage("tray 0188: a plate has 12 wells, found 11");
    }

    @Test
    void putsAResultWhereItLiesOnItsScale() throws Exception {
        Element half = parse(SmallDrawings.scale(
                "148 mg/kg", OptionalDouble.of(0.5), OptionalDouble.empty(), false, 120, Palette.PAPER));
        assertThat(elements(half, "circle").get(0).getAttribute("cx")).isEqualTo("60");
        assertThat(half.getFirstChild().getTextContent()).isEqualTo("148 mg/kg: 50 % of the scale");
        Element below = parse(
                SmallDrawings.scale("< 10", OptionalDouble.of(0.02), OptionalDouble.of(0.2), true, 120, Palette.PAPER));
        assertThat(elements(below, "circle").get(0).getAttribute("fill")).isEqualTo("#ffffff");
        assertThat(below.getFirstChild().getTextContent()).isEqualTo("< 10: below the reporting limit");
        Element none = parse(
                SmallDrawings.scale("", OptionalDouble.empty(), OptionalDouble.empty(), false, 120, Palette.PAPER));
        assertThat(elements(none, "circle")).isEmpty();
    }

    @Test
    void givesEachGateALightAndAWord() throws Exception {
        Element root = parse(SmallDrawings.gates(
                "Plasma 3",
                List.of(
                        new Light(Gate.CALIBRATION, LightState.OPEN),
                        new Light(Gate.KNOWN_SOLUTIONS, LightState.OPEN),
                        new Light(Gate.BLANK, LightState.SHUT),
                        new Light(Gate.OWN_CONTROL, LightState.WAITING)),
                true,
                Palette.SCREEN));
        assertThat(root.getFirstChild().getTextContent())
                .isEqualTo("Plasma 3: calibration open, check solutions open, blank shut, own control waiting");
        assertThat(elements(root, "text").stream().map(Element::getTextContent))
                .containsExactly("calibration", "check solutions", "blank, shut", "own control");
    }

    @Test
    void showsOneLatePromiseAmongHundreds() throws Exception {
        Element root = parse(SmallDrawings.promises(new Promises(400, 99, 0, 1), 400, Palette.PAPER));
        List<Element> late = elements(root, "rect").stream()
                .filter(rect -> rect.getAttribute("fill").equals("#a3231c"))
                .toList();
        assertThat(late).hasSize(1);
        assertThat(Double.parseDouble(late.get(0).getAttribute("width"))).isGreaterThanOrEqualTo(8);
        assertThat(root.getTextContent())
                .contains("400 complete", "99 will hold", "1 late")
                .doesNotContain("0 at risk ");
        assertThat(SmallDrawings.promises(new Promises(0, 0, 0, 0), 400, Palette.PAPER))
                .contains("nothing promised");
    }

    @Test
    void drawsABarAsLongAsTheSubmissionHasSoils() throws Exception {
        Element few = parse(SmallDrawings.submissionBar("2207", 30, true, Verdict.FIT, Palette.SCREEN));
        assertThat(few.getAttribute("width")).isEqualTo("20");
        assertThat(few.getFirstChild().getTextContent()).isEqualTo("Submission 2207: 30 soils, regulated");
        assertThat(parse(SmallDrawings.submissionBar("2207", 1, false, Verdict.FIT, Palette.SCREEN))
                        .getFirstChild()
                        .getTextContent())
                .isEqualTo("Submission 2207: 1 soil");
    }

    @Test
    void keepsForeignTextFromBecomingMarkup() throws Exception {
        String nasty = "</title><script>\"&'\u0001";
        Element root = parse(SmallDrawings.submissionBar(nasty, 3, false, Verdict.FIT, Palette.SCREEN));
        assertThat(root.getFirstChild().getTextContent()).contains("</title><script>\"&'\uFFFD");
        assertThat(elements(root, "script")).isEmpty();
    }

    @Test
    void usesCustomPropertiesOnScreenAndPlainColoursOnPaper() {
        assertThat(Gallery.page(Palette.PAPER)
                        .substring(Gallery.page(Palette.PAPER).indexOf("</style>")))
                .doesNotContain("var(");
        Matcher bare = Pattern.compile("(fill|stroke)=\"#").matcher(Gallery.page(Palette.SCREEN));
        assertThat(bare.find()).isFalse();
    }

    @Test
    void needsNothingButCore() throws Exception {
        URL[] places = {
            place(PlateDrawing.class), place(Gallery.class), place(Laboratory.class), place(NullMarked.class)
        };
        try (URLClassLoader alone = new URLClassLoader(places, ClassLoader.getPlatformClassLoader())) {
            Class<?> gallery = alone.loadClass("org.tenmesh.print.drawings.Gallery");
            Path file = Files.createTempFile("drawings", ".html");
            gallery.getMethod("main", String[].class).invoke(null, (Object) new String[] {file.toString()});
            assertThat(file).isNotEmptyFile();
            Files.delete(file);
        }
    }

    private static URL place(Class<?> type) throws MalformedURLException {
        return type.getProtectionDomain().getCodeSource().getLocation();
    }
}
