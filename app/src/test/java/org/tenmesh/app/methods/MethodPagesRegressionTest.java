package org.tenmesh.app.methods;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.methods.Method;
import org.tenmesh.exchange.methods.MethodFiles;

/** The committed pages of the methods are what the program writes now. */
class MethodPagesRegressionTest {
    private static final Path PAGES = Path.of("..", "docs", "methods");
    private static final String RENEW = "renew the pages with: ./tenmesh methods --pages docs/methods";

    @Test
    void thePagesAreThoseTheProgramWrites() throws Exception {
        Map<String, String> pages = MethodPages.all();
        List<String> stale = new ArrayList<>();
        for (Map.Entry<String, String> page : pages.entrySet()) {
            Path file = PAGES.resolve(page.getKey());
            if (!Files.exists(file)
                    || !Files.readString(file, StandardCharsets.UTF_8).equals(page.getValue())) {
                stale.add(page.getKey());
            }
        }
        assertThat(stale).as(RENEW).isEmpty();
        try (var files = Files.list(PAGES)) {
            assertThat(files.map(file -> String.valueOf(file.getFileName())))
                    .as("a page without its method is deleted by hand")
                    .allMatch(pages::containsKey);
        }
    }

    @Test
    void everyWorkedExampleThatShipsAgrees() {
        for (Method method : MethodFiles.allShipped()) {
            for (Worked worked : Worked.of(method)) {
                assertThat(worked.agrees())
                        .as(worked.id() + " expected " + worked.example().expected() + ", got " + worked.got())
                        .isTrue();
            }
        }
    }

    @Test
    void everyPageSaysWhatItAnswersHowItIsCalculateedAndFromWhat() {
        MethodPages.all().forEach((name, page) -> {
            if (!name.equals("README.md")) {
                assertThat(page).as(name).contains("## What it reports", "## How it is calculated", "## Sources");
                assertThat(page).as(name).doesNotContain("(no ", "but the program gives", "[from memory]", "[read]");
            }
        });
    }
}
