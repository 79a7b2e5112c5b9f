package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.util.List;
import org.jsoup.nodes.Document;
import org.jsoup.nodes.Element;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.people.PersonRole;

/** What a page shows can be taken along as a file, by whoever may open the page and by nobody else. */
class PageTablesTest {
    private static final InventedDay DAY = InventedDay.of(110, Ashgrove.METHODS);

    private static List<String> lines(HttpResponse<byte[]> answer) {
        return new String(answer.body(), StandardCharsets.UTF_8).lines().toList();
    }

    @Test
    void givesTheRowsOfThePageAndNumbersThatOtherProgramsRead() {
        try (Ashgrove ashgrove = Ashgrove.open(DAY)) {
            Browser browser = ashgrove.as(PersonRole.IN_CHARGE);
            Document page = browser.page("/runs");
            HttpResponse<byte[]> file = browser.get("/runs?file=csv");
            assertThat(file.headers().firstValue("Content-Type")).contains("text/csv; charset=utf-8");
            assertThat(file.headers().firstValue("Content-Disposition").orElse(""))
                    .contains("runs.csv");
            List<String> lines = lines(file);
            assertThat(lines).hasSize(1 + page.select("main tbody tr").size());
            assertThat(lines.get(0)).startsWith("run,method,instrument,by,began,lab numbers");
            for (Run run : DAY.day().runs()) {
                assertThat(lines).anyMatch(line -> line.startsWith(run.run() + ","));
            }
            assertThat(String.join("\n", lines)).doesNotContain("\u202f").doesNotContain("<");
        }
    }

    @Test
    void givesEveryPositionOfARunThatThePageShowsInParts() {
        try (Ashgrove ashgrove = Ashgrove.open(DAY)) {
            Browser browser = ashgrove.as(PersonRole.IN_CHARGE);
            Run longest = DAY.day().runs().stream()
                    .max((a, b) ->
                            Integer.compare(a.readings().size(), b.readings().size()))
                    .orElseThrow();
            int tables =
                    browser.page("/runs/" + longest.run()).select("main table").size();
            List<String> lines = lines(browser.get("/runs/" + longest.run() + "?file=csv&table=" + tables));
            long positions = java.util.stream.IntStream.range(
                            0, longest.readings().size())
                    .map(longest.readings()::position)
                    .distinct()
                    .count();
            assertThat(lines).hasSize((int) positions + 1);
        }
    }

    @Test
    void isAWorkbookOfAllTablesOfThePage() {
        try (Ashgrove ashgrove = Ashgrove.open(DAY)) {
            Browser browser = ashgrove.as(PersonRole.IN_CHARGE);
            assertThat(browser.page("/runs").select("footer a").eachText()).containsExactly("workbook", "CSV");
            HttpResponse<byte[]> file = browser.get("/runs?file=xlsx");
            assertThat(new String(file.body(), 0, 2, StandardCharsets.US_ASCII)).isEqualTo("PK");
        }
    }

    @Test
    void saysInWordsWhatIsAPictureOnThePageSoThatNoColumnIsEmpty() {
        try (Ashgrove ashgrove = Ashgrove.open(DAY)) {
            Browser browser = ashgrove.as(PersonRole.QUALITY);
            List<String> runs = lines(browser.get("/runs?file=csv"));
            assertThat(runs.subList(1, runs.size()))
                    .allMatch(line -> line.matches(".*calibration (open|shut), check solutions .*"));
            String soil = "/soils/" + DAY.day().soils().get(0).labNumber();
            for (String address : List.of("/runs", "/submissions", "/controls", soil)) {
                Document page = browser.page(address);
                for (int table = 1; table <= page.select("main table").size(); table++) {
                    List<String[]> rows = lines(browser.get(address + "?file=csv&table=" + table)).stream()
                            .map(line -> line.split(",(?=(?:[^\"]*\"[^\"]*\")*[^\"]*$)", -1))
                            .toList();
                    Element shown = page.select("main table").get(table - 1);
                    for (int column = 0; column < rows.get(0).length; column++) {
                        int at = column;
                        boolean drawn = shown.select("tbody > tr").stream()
                                .anyMatch(row -> row.children().size() > at
                                        && !row.child(at).select("svg").isEmpty());
                        if (drawn) {
                            assertThat(rows.subList(1, rows.size()))
                                    .as(address + " " + rows.get(0)[column])
                                    .anyMatch(row -> !row[at].isBlank());
                        }
                    }
                }
            }
        }
    }

    @Test
    void isNoWayRoundARole() {
        try (Ashgrove ashgrove = Ashgrove.open(DAY)) {
            for (PersonRole role : List.of(PersonRole.BENCH, PersonRole.CLIENT_SERVICE)) {
                HttpResponse<byte[]> file = ashgrove.as(role).get("/runs?file=csv");
                assertThat(file.statusCode()).isEqualTo(404);
                assertThat(Browser.text(file)).contains("<html");
            }
        }
    }

    @Test
    void answersWithThePageWhereThereIsNoSuchTable() {
        try (Ashgrove ashgrove = Ashgrove.open(DAY)) {
            Browser browser = ashgrove.as(PersonRole.IN_CHARGE);
            assertThat(Browser.text(browser.get("/runs?file=csv&table=7"))).contains("<html");
            assertThat(Browser.text(browser.get("/runs?file=pdf"))).contains("<html");
        }
    }
}
