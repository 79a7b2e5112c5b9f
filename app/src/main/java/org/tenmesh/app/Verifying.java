package org.tenmesh.app;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.exchange.Json;
import org.tenmesh.store.DayEntry;
import org.tenmesh.store.JournalCheck;
import org.tenmesh.store.Store;

/** Computes again what the store claims. */
final class Verifying {
    private final Console console;

    Verifying(Console console) {
        this.console = console;
    }

    int verify(Shape.Given given, Path data) {
        MethodBook methods = MethodChoice.of(given);
        if (given.text("--database").isEmpty() && !Files.isDirectory(data.resolve("database"))) {
            throw new CannotUse("there is no database in " + data + "; name the data folder with --data");
        }
        console.progress("Starting the database in " + data);
        try (Store store = Databases.open(given, data, Clock.systemUTC())) {
            console.progress("Computing the journal's chain");
            JournalCheck journal = store.verifyJournal();
            List<String> differences = new ArrayList<>();
            long values = 0;
            for (DayEntry entry : store.days()) {
                console.progress("Judging day " + entry.name());
                values += recompute(store, entry.name(), methods, differences);
            }
            console.progressDone();
            boolean fits = journal.whole() && differences.isEmpty();
            if (given.has("--json")) {
                console.out()
                        .println(Json.line(Json.object(
                                "journal_entries",
                                journal.entries(),
                                "journal_head",
                                journal.head(),
                                "journal_whole",
                                journal.whole(),
                                "released_values",
                                values,
                                "differences",
                                differences)));
            } else {
                console.out().printf("Journal: %s%n  head %s%n", journal.finding(), journal.head());
                console.out()
                        .printf(
                                Locale.ROOT,
                                "Released values computed again: %,d, of which %,d came out otherwise%n",
                                values,
                                differences.size());
                differences.stream().limit(20).forEach(line -> console.out().println("  " + line));
            }
            return fits ? Status.DONE : Status.HELD;
        }
    }

    private static long recompute(Store store, String name, MethodBook methods, List<String> differences) {
        List<Release> releases = store.releases(name);
        if (releases.isEmpty()) {
            return 0;
        }
        Day day = store.quality().dayWithControls(name).orElseThrow();
        JudgedDay judged = DayJudge.judge(day, methods);
        // A soil read more than once has several numbers; a released one must be among them, to the last bit.
        Map<String, List<Double>> numbers = new HashMap<>();
        for (Result result : judged.results()) {
            numbers.computeIfAbsent(
                            key(result.labNumber().text(), result.method(), result.analyte()), key -> new ArrayList<>())
                    .add(result.amount().raw());
        }
        long values = 0;
        for (Release release : releases) {
            for (ReleasedResult result : release.results()) {
                if (result.value().isEmpty()) {
                    continue;
                }
                values++;
                String now = methods.find(result.method(), day.date())
                        .map(method -> method.head().version().toString())
                        .orElse("none");
                List<Double> found = numbers.getOrDefault(
                        key(result.labNumber().text(), result.method(), result.analyte()), List.of());
                if (!found.contains(result.value().getAsDouble())) {
                    differences.add("day " + name + ", submission " + release.submission() + ", revision "
                            + release.revision() + ", " + result.labNumber() + " " + result.analyte() + ": released "
                            + result.value().getAsDouble() + " by " + result.method() + " of " + result.methodVersion()
                            + ", now " + found + " by the version of " + now);
                }
            }
        }
        return values;
    }

    private static String key(String labNumber, String method, String analyte) {
        return labNumber + '\n' + method + '\n' + analyte;
    }
}
