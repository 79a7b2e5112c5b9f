package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jsoup.Jsoup;
import org.jsoup.nodes.Document;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.store.people.PersonRole;

class LabelsPageTest {
    private static final InventedDay ONE = InventedDay.of(60, Ashgrove.METHODS);
    private static Ashgrove ashgrove;

    @BeforeAll
    static void open() {
        ashgrove = Ashgrove.open(ONE);
    }

    @AfterAll
    static void close() {
        ashgrove.close();
    }

    private static String begin(HttpResponse<byte[]> answer) {
        return new String(answer.body(), 0, 5, StandardCharsets.ISO_8859_1);
    }

    private static HttpResponse<byte[]> printed(Browser who, String kind, String of, String... more) {
        Map<String, String> form = new HashMap<>(Map.of("kind", kind, "of", of, "sheet", "A4, 3 x 8", "start", "5"));
        for (int i = 0; i < more.length; i += 2) {
            form.put(more[i], more[i + 1]);
        }
        return who.submit("/labels", "/labels/file", form);
    }

    @Test
    void everybodyGetsTheLabelsOfWhatTheyHandle() {
        try (Ashgrove fresh = Ashgrove.open(ONE)) {
            Browser bench = fresh.as(PersonRole.BENCH);
            for (String kind : List.of("trays", "soils")) {
                HttpResponse<byte[]> file = printed(bench, kind, "");
                assertThat(file.statusCode()).as(kind).isEqualTo(200);
                assertThat(begin(file)).isEqualTo("%PDF-");
            }
            assertThat(begin(printed(bench, "racks", "1-30"))).isEqualTo("%PDF-");
            assertThat(printed(bench, "boxes", "").statusCode()).isEqualTo(400);
            assertThat(begin(printed(fresh.as(PersonRole.CLIENT_SERVICE), "boxes", "")))
                    .isEqualTo("%PDF-");
            assertThat(bench.page("/labels").select("table tbody tr").eachText())
                    .as("the bench does not read whose boxes were labelled")
                    .hasSize(3)
                    .noneMatch(row -> row.contains("Boxes of submissions"));
        }
    }

    @Test
    void aLabelIsPrintedASecondTimeOnlyWithAReasonThatIsKept() {
        try (Ashgrove fresh = Ashgrove.open(ONE)) {
            Browser bench = fresh.as(PersonRole.BENCH);
            assertThat(printed(bench, "racks", "1-3", "reason", "not asked for").statusCode())
                    .isEqualTo(200);
            HttpResponse<byte[]> again = printed(bench, "racks", "3-5");
            assertThat(again.statusCode()).isEqualTo(409);
            Document page = Jsoup.parse(new String(again.body(), StandardCharsets.UTF_8));
            assertThat(page.text()).contains("1 of 3 were printed before");
            assertThat(page.expectFirst("#of").val()).isEqualTo("3-5");
            assertThat(page.expectFirst("#kind option[selected]").val()).isEqualTo("racks");
            assertThat(page.select("label[for=reason]").text()).isEqualTo("Why they are printed again");
            assertThat(fresh.book().journal(9).stream().filter(one -> one.what().equals("labels-printed")))
                    .as("no file, no entry")
                    .hasSize(1);
            assertThat(begin(printed(bench, "racks", "3-5", "reason", "R-003 was torn")))
                    .isEqualTo("%PDF-");
            assertThat(bench.page("/labels").select("table tbody tr").eachText())
                    .satisfiesExactly(
                            row -> assertThat(row).contains("R-003 to R-005").endsWith("1 again: R-003 was torn"),
                            row -> assertThat(row).endsWith("3: R-001 to R-003"));
        }
    }

    @Test
    void saysWhatIsWrongWithASheet() {
        Browser bench = ashgrove.as(PersonRole.BENCH);
        assertThat(Browser.text(printed(bench, "trays", "", "own", "200x200 9x9 63x33 at 0,0 every 63x33")))
                .contains("No sheet is written like that");
        assertThat(Browser.text(printed(bench, "trays", "", "start", "25"))).contains("places 1 to 24");
        assertThat(Browser.text(printed(bench, "racks", "1-9999999"))).contains("Nothing of that name");
        assertThat(bench.page("/labels").select("table")).isEmpty();
    }

    @Test
    void labelsOfSoilsAreTheSameWhicheverIsTheControl() {
        LabNumber control = Places.control(ONE);
        LabNumber soil = Places.soil(ONE);
        try (Ashgrove one = Ashgrove.open(ONE);
                Ashgrove other = Ashgrove.open(ONE.exchanged(control, soil, Ashgrove.METHODS))) {
            // The identifier of a PDF file follows from its content and the time; what is drawn comes before it.
            assertThat(drawn(printed(one.as(PersonRole.BENCH), "soils", "")))
                    .isEqualTo(drawn(printed(other.as(PersonRole.BENCH), "soils", "")));
        }
    }

    private static String drawn(HttpResponse<byte[]> answer) {
        return new String(answer.body(), StandardCharsets.ISO_8859_1).replaceAll("/ID \\[[^\\]]*\\]", "");
    }

    @Test
    void theLayoutSheetIsForQualityAloneAndInTheJournal() {
        HttpResponse<byte[]> sheet =
                ashgrove.as(PersonRole.QUALITY).submit("/labels", "/labels/layout-sheet", Map.of());
        assertThat(begin(sheet)).isEqualTo("%PDF-");
        assertThat(ashgrove.book().journal(1).get(0).what()).isEqualTo("layout-sheet-printed");
        for (PersonRole role : new PersonRole[] {PersonRole.BENCH, PersonRole.IN_CHARGE, PersonRole.CLIENT_SERVICE}) {
            assertThat(ashgrove.as(role).page("/labels").text()).doesNotContain("hidden");
            assertThat(ashgrove.as(role)
                            .submit("/labels", "/labels/layout-sheet", Map.of())
                            .statusCode())
                    .isEqualTo(404);
        }
    }
}
