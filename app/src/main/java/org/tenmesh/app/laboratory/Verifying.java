package org.tenmesh.app.laboratory;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.tenmesh.app.line.CannotUse;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.MethodChoice;
import org.tenmesh.app.line.Shape;
import org.tenmesh.app.line.Status;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.exchange.json.Json;
import org.tenmesh.store.Store;
import org.tenmesh.store.days.DayEntry;
import org.tenmesh.store.journal.Anchor;
import org.tenmesh.store.journal.ClockWatch;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.journal.JournalCheck;
import org.tenmesh.store.journal.JournalLine;
import org.tenmesh.store.journal.JournalQuestion;
import org.tenmesh.store.verified.RecordCheck;

/**
 * Checks a laboratory's records: the journal's chain, everything stored against the journal, and what was released computed
 * again. One day at a time.
 */
final class Verifying {
    /** So many differences are printed; {@code --json} prints all. */
    private static final int MOST_PRINTED = 100;

    private static final Pattern SHA256 = Pattern.compile("[0-9a-f]{64}");

    private final Console console;

    private final List<String> differences = new ArrayList<>();
    private final List<String> unusable = new ArrayList<>();
    private long results;
    private int kept;
    private String newest = "";
    private List<JournalLine> clock = List.of();
    private List<JournalLine> moved = List.of();

    Verifying(Console console) {
        this.console = console;
    }

    int verify(Shape.Given given, Path data) throws IOException {
        MethodBook methods = MethodChoice.of(given);
        Optional<String> head = given.text("--head").map(Verifying::head);
        List<Anchor> anchors = new ArrayList<>();
        for (String typed : given.all("--anchor")) {
            anchors.addAll(anchors(typed));
        }
        if (given.text("--database").isEmpty() && !Files.isDirectory(data.resolve("database"))) {
            throw new CannotUse("there is no database in " + data + "; name the data folder with --data");
        }
        try (Store store = console.during(
                "Starting the database in " + data, () -> Databases.open(given, data, Clock.systemUTC()))) {
            return verify(store, methods, head, anchors, given.has("--json"));
        }
    }

    /**
     * The same of a store that is open.
     *
     * @param head the journal's head that an earlier check printed
     * @return exit status
     */
    int verify(Store store, MethodBook methods, Optional<String> head, List<Anchor> anchors, boolean json)
            throws IOException {
        JournalCheck journal = console.during("Computing the journal's chain", store::verifyJournal);
        head.filter(kept -> !store.journalHolds(kept))
                .ifPresent(kept -> differences.add("the journal has no entry with the hash " + kept
                        + ": entries after it and itself were deleted or replaced, or it is the head of another"
                        + " laboratory's journal"));
        differences.addAll(store.against(anchors));
        kept = anchors.size();
        newest = store.anchor().shortForm();
        clock = clock(store, Journal.CLOCK_SET_BACK);
        moved = Stream.concat(clock(store, ClockWatch.JUMPED).stream(), clock(store, ClockWatch.DIFFERS).stream())
                .sorted(Comparator.comparingLong(line -> line.entry().seq()))
                .toList();
        RecordCheck record = store.compareWithJournal(console::progress);
        differences.addAll(record.differences());
        unusable.addAll(record.unreadable());
        computeAgain(store, methods);
        console.progressDone();
        print(json, journal, record, head);
        unusable.forEach(console::tell);
        return !journal.whole() || !differences.isEmpty()
                ? Status.HELD
                : unusable.isEmpty() ? Status.DONE : Status.UNUSABLE;
    }

    /** Of a file, or typed. */
    private static List<Anchor> anchors(String typed) throws IOException {
        Path file = Path.of(typed);
        List<Anchor> found = Anchor.in(Files.isRegularFile(file) ? Files.readString(file) : typed);
        if (found.isEmpty()) {
            throw new CannotUse(
                    "--anchor takes a file of anchors, or one such as 12-89ab-cdef-0123-4567; found neither in \""
                            + typed + "\"");
        }
        return found;
    }

    private static String head(String typed) {
        String head = typed.strip().toLowerCase(Locale.ROOT);
        if (!SHA256.matcher(head).matches()) {
            throw new CannotUse(
                    "--head takes the 64 hexadecimal digits that an earlier verify printed, found \"" + typed + "\"");
        }
        return head;
    }

    private void computeAgain(Store store, MethodBook methods) {
        List<DayEntry> days = new ArrayList<>(store.days());
        Collections.reverse(days);
        ComputedAgain again = new ComputedAgain(store, methods);
        int done = 0;
        for (DayEntry day : days) {
            console.progress("Computing again what was released on day " + day.name() + " (" + ++done + " of "
                    + days.size() + ")");
            try {
                again.day(day.name());
            } catch (RuntimeException unreadable) {
                unusable.add("what was released on day " + day.name() + " cannot be computed again: "
                        + String.valueOf(unreadable.getMessage())
                                .lines()
                                .findFirst()
                                .orElse(unreadable.getClass().getSimpleName()));
            }
        }
        again.end();
        results = again.results();
        differences.addAll(again.differences());
        unusable.addAll(again.unusable());
    }

    private static List<JournalLine> clock(Store store, String what) {
        JournalQuestion asked = new JournalQuestion(
                Optional.empty(), Optional.of(what), "", Optional.empty(), Optional.empty(), Optional.empty());
        return store.readJournal(asked, MOST_PRINTED).lines();
    }

    private void print(boolean json, JournalCheck journal, RecordCheck record, Optional<String> head) {
        if (json) {
            console.out()
                    .println(Json.line(Json.object(
                            "journal_entries", journal.entries(),
                            "journal_head", journal.head(),
                            "journal_whole", journal.whole(),
                            "journal_finding", journal.finding(),
                            "anchors", kept,
                            "anchor", newest,
                            "clock_set_back",
                                    clock.stream()
                                            .map(line -> line.entry().seq())
                                            .toList(),
                            "clock_moved_or_differs",
                                    moved.stream()
                                            .map(line -> line.entry().seq())
                                            .toList(),
                            "compared_with_journal", record.compared(),
                            "released_results", results,
                            "differences", differences,
                            "not_covered", record.notCovered(),
                            "unusable", unusable)));
            return;
        }
        console.out().printf("Journal: %s%n", journal.finding());
        head.filter(kept -> differences.stream().noneMatch(one -> one.contains(kept)))
                .ifPresent(kept -> console.out().printf("  it holds the entry %s%n", kept));
        if (kept > 0) {
            console.out().printf(Locale.ROOT, "  compared with %,d anchors that were kept apart from it%n", kept);
        }
        console.out().printf("  Keep the head apart from the data: %s%n", journal.head());
        console.out().printf("  or its short form, for --anchor: %s%n", newest);
        clock.forEach(line -> console.out()
                .printf(
                        "  The clock was set back by %s s before entry %d (%s): times after it may repeat.%n",
                        line.detail().get("seconds"),
                        line.entry().seq() + 1,
                        line.entry().at()));
        moved.forEach(line -> console.out()
                .printf(
                        line.entry().what().equals(ClockWatch.JUMPED)
                                ? "  The server's clock was moved by %s s before entry %d (%s): times before and after it"
                                        + " do not fit together.%n"
                                : "  The server's clock was %s s ahead of the database's at entry %d (%s).%n",
                        line.detail().getOrDefault("seconds", line.detail().getOrDefault("server-ahead-seconds", "?")),
                        line.entry().seq(),
                        line.entry().at()));
        console.out()
                .printf(
                        Locale.ROOT,
                        "Compared with the journal: %,d rows, runs and releases%n"
                                + "Released results computed again: %,d%n"
                                + "Differences: %,d%n",
                        record.compared(),
                        results,
                        differences.size());
        list(differences);
        if (!record.notCovered().isEmpty()) {
            console.out()
                    .printf(
                            Locale.ROOT,
                            "Not covered by the journal: %,d%n",
                            record.notCovered().size());
            list(record.notCovered());
        }
    }

    private void list(List<String> sentences) {
        sentences.stream().limit(MOST_PRINTED).forEach(line -> console.out().println("  " + line));
        if (sentences.size() > MOST_PRINTED) {
            console.out().printf(Locale.ROOT, "  and %,d more; --json prints all%n", sentences.size() - MOST_PRINTED);
        }
    }
}
