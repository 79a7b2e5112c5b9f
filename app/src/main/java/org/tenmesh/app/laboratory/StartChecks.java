package org.tenmesh.app.laboratory;

import java.util.Map;
import java.util.stream.Collectors;
import org.tenmesh.app.check.Check;
import org.tenmesh.app.check.CheckReport;
import org.tenmesh.app.check.Checks;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.ProgramVersion;
import org.tenmesh.store.Store;

/** The published worked examples, computed again by every server that starts, with the outcome in the journal. */
final class StartChecks {
    /** What is written to the journal. */
    static final String RUN = "calculations-checked";

    private StartChecks() {}

    /** On a thread of its own: nobody waits for it. */
    static void begin(Store store, Console console) {
        Thread thread = new Thread(
                () -> {
                    try {
                        run(store, console);
                    } catch (RuntimeException failed) {
                        console.tell("the calculations could not be checked: " + failed.getMessage());
                    }
                },
                "checks");
        thread.setDaemon(true);
        thread.setPriority(Thread.MIN_PRIORITY);
        thread.start();
    }

    static void run(Store store, Console console) {
        CheckReport report = Checks.run();
        String failed = report.failed().stream().map(Check::id).limit(20).collect(Collectors.joining(", "));
        store.note(
                "Tenmesh",
                RUN,
                "version " + ProgramVersion.text(),
                Map.of(
                        "checks",
                        Integer.toString(report.checks().size()),
                        "failed",
                        Integer.toString(report.failed().size()),
                        "which",
                        failed));
        if (!report.passed()) {
            console.tell("published examples do not come out as published: " + failed
                    + ". Release nothing that rests on them; tenmesh check tells more");
        }
    }
}
