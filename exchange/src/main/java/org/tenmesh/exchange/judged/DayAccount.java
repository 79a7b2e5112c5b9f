package org.tenmesh.exchange.judged;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.redo.Balance;
import org.tenmesh.core.redo.Balancing;
import org.tenmesh.core.redo.Standing;
import org.tenmesh.exchange.day.RowsOfFile;
import org.tenmesh.exchange.file.Problem;

/**
 * Where everything that was read of a day folder ended: every row of every file, and every reading of every run.
 *
 * @param rows by file
 * @param balance by run
 */
public record DayAccount(List<RowsOfFile> rows, Balance balance) {
    private static final String READINGS = "readings/";

    public DayAccount {
        rows = List.copyOf(rows);
    }

    /**
     * The account of a judged day.
     *
     * @param rows of the folder that the day was read from
     */
    public static DayAccount of(List<RowsOfFile> rows, Day day, Standing standing, MethodBook methods) {
        return new DayAccount(rows, Balancing.of(day, standing, methods));
    }

    /** What does not add up, as problems: then the program is at fault, and nothing of the day may be relied on. */
    public List<Problem> problems() {
        List<Problem> problems = new ArrayList<>();
        Map<String, Integer> handedOver = new TreeMap<>();
        balance.runs().forEach(run -> handedOver.put(READINGS + run.run() + ".csv", run.read()));
        for (RowsOfFile file : rows) {
            if (!file.addsUp()) {
                problems.add(wrong(
                        file.file(),
                        file.read() + " rows, of which " + file.used() + " used, " + file.notNeeded()
                                + " not needed and " + file.setAside() + " set aside"));
            }
            int judged = handedOver.getOrDefault(file.file(), 0);
            if (file.file().startsWith(READINGS) && judged != file.used()) {
                problems.add(wrong(file.file(), file.used() + " readings taken and " + judged + " judged"));
            }
        }
        balance.errors().forEach(error -> problems.add(wrong("readings", error)));
        return problems;
    }

    private static Problem wrong(String file, String found) {
        return new Problem(
                file,
                0,
                "",
                found,
                "an account that adds up",
                "This is a fault of the program; release nothing of this day before it is explained");
    }

    /** How many rows and readings were used for nothing. */
    public int setAside() {
        return rows.stream().mapToInt(RowsOfFile::setAside).sum()
                + balance.aside().stream().mapToInt(Balance.SetAside::readings).sum();
    }

    /** What was set aside, one sentence each. */
    public List<String> sentences() {
        List<String> sentences = new ArrayList<>();
        for (RowsOfFile file : rows) {
            file.aside()
                    .forEach((reason, count) ->
                            sentences.add(file.file() + ": " + counted(count, "row") + ", " + reason));
        }
        for (Balance.SetAside one : balance.aside()) {
            sentences.add("run " + one.run() + ": " + counted(one.readings(), "reading") + " from position "
                    + one.firstPosition() + ", " + one.reason());
        }
        return sentences;
    }

    private static String counted(int count, String what) {
        return count + " " + what + (count == 1 ? "" : "s");
    }
}
