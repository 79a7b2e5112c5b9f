package org.tenmesh.exchange.file;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.SortedSet;
import java.util.TreeSet;

/**
 * Collects what is wrong in one file; after the first twenty only their number grows. Where each line stands for itself, what is wrong in
 * a line costs that line, and only what is wrong with the file as a whole costs the file.
 */
public final class FileProblems {
    private static final int MOST = 20;

    private final String file;
    private final String consequence;
    private final Optional<String> ofLine;
    private final List<Problem> told = new ArrayList<>();
    private final SortedSet<Integer> lines = new TreeSet<>();
    private int more;
    private boolean wholly;

    /** Of a file of which nothing is taken when a line is wrong. */
    public FileProblems(String file, String consequence) {
        this(file, consequence, Optional.empty());
    }

    /**
     * Of a file of which the other lines are taken when one is wrong.
     *
     * @param consequence of what is wrong with the whole file
     * @param ofLine of what is wrong in a line
     */
    public FileProblems(String file, String consequence, String ofLine) {
        this(file, consequence, Optional.of(ofLine));
    }

    private FileProblems(String file, String consequence, Optional<String> ofLine) {
        this.file = file;
        this.consequence = consequence;
        this.ofLine = ofLine;
    }

    /** Something wrong in one line. */
    public void addOfLine(int line, String column, String found, String expected) {
        addOfLine(line, column, found, expected, ofLine.orElse(consequence));
    }

    /** The same with a consequence of its own, where a line costs itself only. */
    public void addOfLine(int line, String column, String found, String expected, String itsConsequence) {
        if (ofLine.isEmpty()) {
            add(line, column, found, expected);
        } else {
            lines.add(line);
            tell(new Problem(file, line, column, found, expected, itsConsequence));
        }
    }

    /** A line that is lost because of another. */
    public void alsoLost(int line) {
        lines.add(line);
    }

    /** The lines that cost themselves only. */
    public SortedSet<Integer> lostLines() {
        return lines;
    }

    public void add(int line, String column, String found, String expected) {
        wholly = true;
        tell(new Problem(file, line, column, found, expected, consequence));
    }

    private void tell(Problem problem) {
        if (told.size() < MOST) {
            told.add(problem);
        } else {
            more++;
        }
    }

    public boolean none() {
        return told.isEmpty();
    }

    /** Whether the file can be taken, without its lost lines if there are any. */
    public boolean usable() {
        return ofLine.isPresent() ? !wholly : told.isEmpty();
    }

    /** The first that was found; empty when there is none. */
    public Optional<Problem> first() {
        return told.isEmpty() ? Optional.empty() : Optional.of(told.get(0));
    }

    public String file() {
        return file;
    }

    public String consequence() {
        return consequence;
    }

    /** For callers that add whole problems of this file. */
    public List<Problem> told() {
        return told;
    }

    public List<Problem> all() {
        List<Problem> all = new ArrayList<>(told);
        if (more > 0) {
            all.add(new Problem(
                    file,
                    0,
                    "",
                    more + " more problems",
                    "a file without problems",
                    usable() ? ofLine.orElse(consequence) : consequence));
        }
        return all;
    }
}
