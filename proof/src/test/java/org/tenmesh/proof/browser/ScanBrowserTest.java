package org.tenmesh.proof.browser;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Path;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A scanner types wherever the focus happens to be. What it reads is looked up, and is never left in what somebody was writing. */
final class ScanBrowserTest {
    @TempDir
    @SuppressWarnings("NullAway.Init")
    private Path temp;

    @SuppressWarnings("NullAway.Init")
    private OpenedLaboratory laboratory;

    @BeforeEach
    void start() throws IOException {
        laboratory = OpenedLaboratory.open(temp);
        laboratory.signIn();
    }

    @AfterEach
    void stop() {
        // A missing browser skips the test half-way through its start.
        if (laboratory != null) {
            laboratory.close();
        }
    }

    private void page(String path) {
        laboratory.browser().open(laboratory.server().address().resolve(path).toString());
    }

    private String labNumber() {
        return laboratory
                .store()
                .day("2026-11-25")
                .orElseThrow()
                .soils()
                .get(7)
                .labNumber()
                .text();
    }

    @Test
    void opensWhatWasScannedThoughNoFieldHasTheFocus() {
        String number = labNumber();
        page("/causes");
        laboratory.browser().scan("body", number, 0);
        laboratory.browser().waitFor("Results of " + number);
    }

    @Test
    void takesAScanOutOfAReasonAndAsksBeforeItLeadsAway() {
        Browser browser = laboratory.browser();
        String number = labNumber();
        page("/causes");
        String reason = browser.write("main textarea", "rinsed the probe, ");
        assertThat(reason).isEqualTo("rinsed the probe, ");

        browser.scan("main textarea", number, 0);

        assertThat(browser.written("main textarea")).isEqualTo("rinsed the probe, ");
        assertThat(browser.text()).contains("Open " + number);
        browser.tabToWords("Open " + number);
        browser.enter("Results of " + number);
    }

    @Test
    void leavesWhatHandsType() {
        Browser browser = laboratory.browser();
        page("/causes");
        browser.write("main textarea", "");
        browser.scan("main textarea", "furnace", 80);
        assertThat(browser.written("main textarea")).isEqualTo("furnace");
        assertThat(browser.address()).endsWith("/causes");
    }
}
