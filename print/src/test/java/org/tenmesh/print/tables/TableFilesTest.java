package org.tenmesh.print.tables;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Collections;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.zip.ZipEntry;
import java.util.zip.ZipFile;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.print.tables.TableFiles.Table;

class TableFilesTest {
    @TempDir
    @SuppressWarnings("NullAway.Init")
    private Path temp;

    private static Table table(String... cells) {
        return new Table("Runs: all / of [today]", List.of("a", "b"), List.of(List.of(cells)));
    }

    private static String csv(Table table) {
        return new String(TableFiles.csv(table), StandardCharsets.UTF_8);
    }

    private Map<String, String> parts(byte[] workbook) throws IOException {
        Map<String, String> parts = new HashMap<>();
        try (ZipFile zip =
                new ZipFile(Files.write(temp.resolve("tables.xlsx"), workbook).toFile())) {
            for (ZipEntry entry : Collections.list(zip.entries())) {
                parts.put(
                        entry.getName(), new String(zip.getInputStream(entry).readAllBytes(), StandardCharsets.UTF_8));
            }
        }
        return parts;
    }

    /** RFC 4180 (IETF, Common Format and MIME Type for CSV Files, 2005), section 2, rules 1, 6 and 7. */
    @Test
    void quotesAsRfc4180Asks() {
        assertThat(csv(table("b,\"c\"", "line\nfeed"))).isEqualTo("a,b\r\n\"b,\"\"c\"\"\",\"line\nfeed\"\r\n");
        assertThat(csv(table("one"))).isEqualTo("a,b\r\none,\r\n");
    }

    @Test
    void disarmsWhatASpreadsheetWouldCalculateAndLeavesNumbers() {
        assertThat(csv(table("=1+1", "-3.5"))).isEqualTo("a,b\r\n'=1+1,-3.5\r\n");
        assertThat(csv(table("@x", "-3 to 5"))).isEqualTo("a,b\r\n'@x,'-3 to 5\r\n");
    }

    @Test
    void writesNumbersAsNumbersWithTheirDecimalsAndTextsAsTexts() throws IOException {
        Map<String, String> parts = parts(TableFiles.xlsx(List.of(table("6.10", "=1+1"), table("<3", "26333-0417-K"))));
        String sheet = parts.getOrDefault("xl/worksheets/sheet1.xml", "");
        assertThat(sheet).contains("<v>6.1</v>").doesNotContain("<f>");
        assertThat(parts.getOrDefault("xl/styles.xml", "")).contains("0.00");
        assertThat(parts.getOrDefault("xl/workbook.xml", ""))
                .contains("name=\"Runs  all   of  today\"")
                .contains("name=\"Runs  all   of  today 2\"");
    }
}
