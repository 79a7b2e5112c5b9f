package org.tenmesh.print.report;

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
import org.tenmesh.core.report.ClientReport;
import org.tenmesh.core.report.ClientReport.Line;

class ReportFilesTest {
    @Test
    void writesOneLineForEachResult() {
        ClientReport report = SampleReports.report(12);
        List<String> lines = new String(ReportFiles.csv(report), StandardCharsets.UTF_8)
                .lines()
                .toList();
        assertThat(lines).hasSize(1 + 12 * 14);
        assertThat(lines.get(1))
                .isEqualTo("2207,1,26329-0417-T,North bench 1,0,15,ph-water-1-1,2026-03-01,pH,pH,[pH],6.7,0.4,,");
        assertThat(lines).anyMatch(line -> line.endsWith(",,," + SampleReports.LITTLE + ","));
    }

    /** Quotes and line ends as RFC 4180 has them; a formula as the words that it is. */
    @Test
    void keepsAClientsLabelAText() {
        String csv =
                new String(ReportFiles.csv(SampleReports.report(1, "c", "=1+1, \"%d\"", true)), StandardCharsets.UTF_8);
        assertThat(csv).contains(",\"'=1+1, \"\"1\"\"\",").contains("\r\n");
    }

    @Test
    void writesNumbersAsNumbersAndOtherTextsAsTexts(@TempDir Path folder) throws Exception {
        ClientReport report = SampleReports.report(12);
        Map<String, String> parts = parts(Files.write(folder.resolve("report.xlsx"), ReportFiles.xlsx(report)));
        String table = parts.getOrDefault("xl/worksheets/sheet1.xml", "");
        Line first = report.soils().get(0).lines().get(0);
        assertThat(table).contains("<v>" + first.result().reported() + "</v>");
        String everything = String.join("", parts.values());
        assertThat(everything)
                .contains("held: " + SampleReports.LITTLE, "&lt; 4", "phosphorus, mg/kg (Mehlich-3 extract");
        assertThat(parts.get("xl/worksheets/sheet2.xml")).isNotNull();
    }

    private static Map<String, String> parts(Path file) throws IOException {
        Map<String, String> parts = new HashMap<>();
        try (ZipFile zip = new ZipFile(file.toFile())) {
            for (ZipEntry entry : Collections.list(zip.entries())) {
                parts.put(
                        entry.getName(), new String(zip.getInputStream(entry).readAllBytes(), StandardCharsets.UTF_8));
            }
        }
        return parts;
    }
}
