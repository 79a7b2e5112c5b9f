package org.tenmesh.proof.browser;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.openqa.selenium.Keys;
import org.openqa.selenium.WebElement;
import org.tenmesh.store.Store;

/** The person in charge signs in, orders a redo, signs a release and takes the report away, without a mouse. */
final class ReleaseBrowserTest {
    private static final String NAME = OpenedLaboratory.NAME;

    @TempDir
    @SuppressWarnings("NullAway.Init")
    private Path temp;

    @SuppressWarnings("NullAway.Init")
    private OpenedLaboratory laboratory;

    @SuppressWarnings("NullAway.Init")
    private Browser browser;

    @SuppressWarnings("NullAway.Init")
    private Store store;

    @BeforeEach
    void start() throws IOException {
        laboratory = OpenedLaboratory.open(temp);
        browser = laboratory.browser();
        store = laboratory.store();
    }

    @AfterEach
    void stop() {
        // A missing browser skips the test half-way through its start.
        if (laboratory != null) {
            laboratory.close();
        }
    }

    @Test
    void aReleaseByKeyboardAlone() throws Exception {
        laboratory.signIn();
        assertThat(browser.text()).contains("invented");

        browser.tabToWords("Order the redo");
        assertThat(browser.focusShows()).as("focus is visible").isTrue();
        browser.enter("What the bench will do");
        // The button that orders has the focus.
        browser.enter("Redo ordered by " + NAME);
        assertThat(store.actions("2026-11-25")).hasSize(1);

        browser.tabToWords("Clients");
        browser.enter("Submissions");
        browser.tabToWords("Release");
        browser.enter("ready to release");
        browser.tabTo("a submission", element -> {
            String href = element.getAttribute("href");
            return href != null && href.contains("/release/");
        });
        browser.enter("Your password");
        browser.tabTo("the password", element -> "password".equals(element.getAttribute("id")));
        browser.press(OpenedLaboratory.PASSWORD);
        browser.enter("Released so far");
        assertThat(store.releases("2026-11-25")).hasSize(1);

        browser.tabToWords("PDF");
        browser.press(Keys.ENTER);
        Path pdf = downloaded();
        byte[] bytes = Files.readAllBytes(pdf);
        assertThat(new String(bytes, 0, 5, StandardCharsets.US_ASCII)).isEqualTo("%PDF-");
        for (String text : text(pdf).stream().toList()) {
            String soil = store.releases("2026-11-25")
                    .get(0)
                    .results()
                    .get(0)
                    .labNumber()
                    .text();
            assertThat(text).contains(soil).contains("nvented");
            assertThat(text.toLowerCase(Locale.ROOT)).contains("page 1 of").contains("revision 1");
        }
    }

    @Test
    void aWrongPasswordSignsNothing() {
        laboratory.signIn();
        browser.tabToWords("Clients");
        browser.enter("Submissions");
        browser.tabToWords("Release");
        browser.enter("ready to release");
        browser.tabTo("a submission", element -> {
            String href = element.getAttribute("href");
            return href != null && href.contains("/release/");
        });
        browser.enter("Your password");
        browser.tabTo("the password", element -> "password".equals(element.getAttribute("id")));
        browser.press("not the password");
        browser.enter("assword");
        assertThat(store.releases("2026-11-25")).isEmpty();
    }

    /** Stops with the Tab key from the load of a page to what is done most there, by the link that skips the menu. */
    @Test
    void whatIsDoneOftenIsFewStopsOfTheKeyboardAway() {
        laboratory.signIn();
        page("today");
        assertThat(browser.stopsTo("the first cause", element -> hrefOf(element).contains("/causes/")))
                .isLessThanOrEqualTo(10);
        page("causes");
        assertThat(browser.stopsTo(
                        "the order of a redo", element -> hrefOf(element).endsWith("/order")))
                .isLessThanOrEqualTo(10);
        browser.enter("What the bench will do");
        assertThat(browser.stopsTo("the button", element -> "order-redo".equals(element.getAttribute("value"))))
                .as("the button that orders has the focus")
                .isZero();
        page("release");
        // The heads of the table sort it, and are stops themselves.
        assertThat(browser.stopsTo("a submission", element -> hrefOf(element).contains("/release/")))
                .isLessThanOrEqualTo(15);
        browser.enter("Your password");
        assertThat(browser.stopsTo("the password", element -> "password".equals(element.getAttribute("id"))))
                .isLessThanOrEqualTo(10);
        // The field that finds a soil is one key away on every page: a stroke, as where a scanner writes.
        page("today");
        browser.press("/");
        assertThat(browser.stopsTo("the field that finds", element -> "find".equals(element.getAttribute("id"))))
                .isZero();
    }

    private void page(String path) {
        browser.open(laboratory.server().address().resolve("/" + path).toString());
    }

    private static String hrefOf(WebElement element) {
        String href = element.getAttribute("href");
        return href == null ? "" : href;
    }

    @Test
    void noPageScrollsSidewaysAtTabletWidthOrTwiceTheSize() {
        laboratory.signIn();
        for (String page : List.of("today", "causes", "gates", "release", "submissions")) {
            browser.open(laboratory.server().address().resolve("/" + page).toString());
            // 820 px: a tablet. 720 px: a screen of 1440 px at 200 %.
            for (int width : new int[] {1440, 820, 720}) {
                assertThat(browser.overflowAt(width))
                        .as("/%s at %d px", page, width)
                        .isZero();
            }
        }
    }

    private Path downloaded() throws IOException, InterruptedException {
        long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(60);
        while (System.nanoTime() < end) {
            try (Stream<Path> files = Files.list(laboratory.downloads())) {
                List<Path> pdfs =
                        files.filter(file -> file.toString().endsWith(".pdf")).toList();
                if (!pdfs.isEmpty() && Files.size(pdfs.get(0)) > 0) {
                    return pdfs.get(0);
                }
            }
            Thread.sleep(100);
        }
        throw new AssertionError("no PDF came down within a minute");
    }

    /** The report as text, where the system can read it. */
    private static List<String> text(Path pdf) throws IOException, InterruptedException {
        try {
            Process process = new ProcessBuilder("pdftotext", "-layout", pdf.toString(), "-")
                    .redirectErrorStream(true)
                    .start();
            String text = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
            return process.waitFor() == 0 ? List.of(text) : List.of();
        } catch (IOException absent) {
            return List.of();
        }
    }
}
