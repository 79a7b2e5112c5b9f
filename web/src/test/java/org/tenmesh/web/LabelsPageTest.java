package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.util.Map;
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

    @Test
    void everybodyGetsTheLabelsOfWhatTheyHandle() {
        String sheet = "&sheet=A4%2C+3+x+8&start=5";
        Browser bench = ashgrove.as(PersonRole.BENCH);
        for (String kind : new String[] {"trays", "soils", "racks&of=1-30"}) {
            HttpResponse<byte[]> file = bench.get("/labels/file?kind=" + kind + sheet);
            assertThat(file.statusCode()).as(kind).isEqualTo(200);
            assertThat(begin(file)).isEqualTo("%PDF-");
        }
        assertThat(bench.get("/labels/file?kind=boxes" + sheet).statusCode()).isEqualTo(400);
        assertThat(begin(ashgrove.as(PersonRole.CLIENT_SERVICE).get("/labels/file?kind=boxes" + sheet)))
                .isEqualTo("%PDF-");
    }

    @Test
    void saysWhatIsWrongWithASheet() {
        Browser bench = ashgrove.as(PersonRole.BENCH);
        assertThat(Browser.text(bench.get("/labels/file?kind=trays&own=200x200+9x9+63x33+at+0%2C0+every+63x33")))
                .contains("No sheet is written like that");
        assertThat(Browser.text(bench.get("/labels/file?kind=trays&sheet=A4%2C+3+x+8&start=25")))
                .contains("places 1 to 24");
        assertThat(Browser.text(bench.get("/labels/file?kind=racks&of=1-9999999&sheet=A4%2C+3+x+8")))
                .contains("Nothing of that name");
    }

    @Test
    void labelsOfSoilsAreTheSameWhicheverIsTheControl() {
        LabNumber control = Places.control(ONE);
        LabNumber soil = Places.soil(ONE);
        try (Ashgrove other = Ashgrove.open(ONE.exchanged(control, soil, Ashgrove.METHODS))) {
            String address = "/labels/file?kind=soils&sheet=A4%2C+3+x+8&start=1";
            // The identifier of a PDF file follows from its content and the time; what is drawn comes before it.
            assertThat(drawn(ashgrove.as(PersonRole.BENCH).get(address)))
                    .isEqualTo(drawn(other.as(PersonRole.BENCH).get(address)));
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
