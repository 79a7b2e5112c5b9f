package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.net.http.HttpResponse;
import java.util.ArrayList;
import java.util.List;
import javax.imageio.ImageIO;
import org.jsoup.Jsoup;
import org.jsoup.nodes.Document;
import org.jsoup.nodes.Element;
import org.jsoup.parser.Parser;
import org.junit.jupiter.api.Test;
import org.tenmesh.store.people.PersonRole;

/** Every picture with axes can be taken along as SVG and PNG, by whoever may open its page and by nobody else. */
class PagePicturesTest {
    private static final InventedDay DAY = InventedDay.of(110, Ashgrove.METHODS);
    private static final String PICTURES = "main svg.along, main svg.rows, main svg.wells";

    private static List<String> addresses() {
        List<String> addresses = new ArrayList<>(List.of("/gates?of=all", "/charts", "/differences"));
        DAY.day().runs().forEach(run -> addresses.add("/runs/" + run.run()));
        DAY.judged().causes().forEach(cause -> addresses.add("/causes/" + cause.id()));
        return addresses;
    }

    @Test
    void eachPictureHasBothFilesWithTheSameShapes() throws IOException {
        try (Ashgrove ashgrove = Ashgrove.open(DAY)) {
            Browser browser = ashgrove.as(PersonRole.QUALITY);
            int taken = 0;
            for (String address : addresses()) {
                Document page = browser.page(address);
                List<Element> pictures = page.select(PICTURES);
                assertThat(page.select("p.files a[href][aria-label^=SVG]"))
                        .as(address)
                        .hasSameSizeAs(pictures);
                assertThat(page.select("p.files a[href][aria-label^=PNG]"))
                        .as(address)
                        .hasSameSizeAs(pictures);
                for (int i = 0; i < Math.min(2, pictures.size()); i++) {
                    Element links = page.select("p.files").get(i);
                    String query = links.child(0).attr("href");
                    HttpResponse<byte[]> svg = browser.get(address.replaceFirst("\\?.*", "") + query);
                    assertThat(svg.headers().firstValue("Content-Type")).contains("image/svg+xml");
                    Document file = Jsoup.parse(Browser.text(svg), Parser.xmlParser());
                    assertThat(file.select("path"))
                            .hasSameSizeAs(pictures.get(i).select("path"));
                    assertThat(file.select("text").eachText())
                            .isEqualTo(pictures.get(i).select("text").eachText());
                    assertThat(Browser.text(svg)).doesNotContain("var(--").doesNotContain("href");
                    BufferedImage png =
                            ImageIO.read(new ByteArrayInputStream(browser.get(address.replaceFirst("\\?.*", "")
                                            + links.child(1).attr("href"))
                                    .body()));
                    double width = Double.parseDouble(pictures.get(i).attr("width"));
                    assertThat(png.getWidth()).isEqualTo((int) Math.round(2 * width));
                    taken++;
                }
            }
            assertThat(taken).isGreaterThanOrEqualTo(5);
        }
    }

    @Test
    void isNoWayRoundARole() {
        try (Ashgrove ashgrove = Ashgrove.open(DAY)) {
            for (PersonRole role : List.of(PersonRole.BENCH, PersonRole.CLIENT_SERVICE, PersonRole.IN_CHARGE)) {
                assertThat(ashgrove.as(role).get("/charts?file=svg&picture=1").statusCode())
                        .isEqualTo(404);
            }
            assertThat(Browser.text(ashgrove.as(PersonRole.IN_CHARGE).get("/gates?file=png&picture=999")))
                    .contains("<html");
        }
    }
}
