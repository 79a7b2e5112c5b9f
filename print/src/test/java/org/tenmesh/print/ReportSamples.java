package org.tenmesh.print;

import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import org.tenmesh.core.report.ClientReport;

/** Writes sample reports to be looked at, and measures how fast reports are made. All of it invented. */
public final class ReportSamples {
    private ReportSamples() {}

    /** With a folder: writes samples there. With no argument: makes 300 reports of 12 soils and prints the time. */
    public static void main(String[] arguments) throws IOException {
        if (arguments.length > 0) {
            Path folder = Path.of(arguments[0]);
            for (int soils : new int[] {1, 4, 12, 60}) {
                Files.write(folder.resolve("report-" + soils + ".pdf"), Reports.pdf(SampleReports.report(soils)));
            }
            String endless = "Lower-Meadow-behind-the-old-mill-along-the-river-as-far-as-the-third-gate-no-%d";
            Files.write(
                    folder.resolve("report-long.pdf"),
                    Reports.pdf(
                            SampleReports.report(12, "Gärtnerei Łąka & Søn, Žďár, Ωμέγα, Полина, 農場", endless, true)));
            Files.write(folder.resolve("report-letter.pdf"), Reports.pdf(SampleReports.report(12), Paper.LETTER));
            return;
        }
        ClientReport report = SampleReports.report(12);
        long start = System.nanoTime();
        long bytes = Reports.pdf(report).length;
        double first = (System.nanoTime() - start) / 1e9;
        start = System.nanoTime();
        int count = Integer.getInteger("reports", 300);
        long cpu = ManagementFactory.getThreadMXBean().getCurrentThreadCpuTime();
        for (int i = 0; i < count; i++) {
            bytes += Reports.pdf(report).length;
        }
        double seconds = (System.nanoTime() - start) / 1e9;
        double busy = (ManagementFactory.getThreadMXBean().getCurrentThreadCpuTime() - cpu) / 1e9;
        System.out.printf(
                Locale.ROOT,
                "first report %.2f s; %d reports of 12 soils and 168 results: %.2f s (%.2f s of one processor), %.1f ms each, %.0f kB each%n",
                first,
                count,
                seconds,
                busy,
                1000 * seconds / count,
                bytes / 1000.0 / (count + 1));
    }
}
