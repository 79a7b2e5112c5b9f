package org.tenmesh.print.report;

import com.sun.management.OperatingSystemMXBean;
import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.TimeUnit;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.report.ClientReport;

/** Writes sample reports to be looked at, and measures how fast reports are made. All of it invented. */
public final class ReportSamples {
    private ReportSamples() {}

    /** With a folder: writes samples there. With no argument: makes 300 reports of 12 soils and prints the time. */
    public static void main(String[] arguments) throws IOException, InterruptedException {
        if (arguments.length > 0) {
            Path folder = Path.of(arguments[0]);
            for (int soils : new int[] {1, 4, 12, 48, 300}) {
                Files.write(folder.resolve("report-" + soils + ".pdf"), Reports.pdf(SampleReports.report(soils)));
            }
            for (int soils : new int[] {2, 12}) {
                Files.write(folder.resolve("report-whole-" + soils + ".pdf"), Reports.pdf(SampleReports.whole(soils)));
            }
            String endless = "Lower-Meadow-behind-the-old-mill-along-the-river-as-far-as-the-third-gate-no-%d";
            Files.write(
                    folder.resolve("report-long.pdf"),
                    Reports.pdf(
                            SampleReports.report(12, "Gärtnerei Łąka & Søn, Žďár, Ωμέγα, Полина, 農場", endless, true)));
            Files.write(
                    folder.resolve("report-letter.pdf"),
                    Reports.pdf(
                            SampleReports.report(12),
                            new ReportForm(ReportForm.Paper.LETTER, ReportForm.Layout.TABLE)));
            return;
        }
        ClientReport report = SampleReports.report(12);
        long start = System.nanoTime();
        int size = Reports.pdf(report).length;
        double first = (System.nanoTime() - start) / 1e9;
        int count = Integer.getInteger("reports", 300);
        int threads = Runtime.getRuntime().availableProcessors();
        OperatingSystemMXBean system = ManagementFactory.getPlatformMXBean(OperatingSystemMXBean.class);
        System.out.printf(
                Locale.ROOT,
                "reports of 12 soils and 168 results, %.0f kB each; the first of all %.2f s; %d threads; load of the"
                        + " machine before: %.1f%n",
                size / 1000.0,
                first,
                threads,
                system.getSystemLoadAverage());
        for (String round : new String[] {"in a fresh process", "the next"}) {
            long cpu = system.getProcessCpuTime();
            start = System.nanoTime();
            ExecutorService pool = Executors.newFixedThreadPool(threads);
            for (int i = 0; i < count; i++) {
                pool.execute(() -> Reports.pdf(report));
            }
            pool.shutdown();
            pool.awaitTermination(1, TimeUnit.HOURS);
            double seconds = (System.nanoTime() - start) / 1e9;
            System.out.printf(
                    Locale.ROOT,
                    "%s: %d reports in %.2f s, %.0f ms each, %.2f s of processor time%n",
                    round,
                    count,
                    seconds,
                    1000 * seconds / count,
                    (system.getProcessCpuTime() - cpu) / 1e9);
        }
    }
}
