package org.tenmesh.exchange.file;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/** Collects what is wrong in one file; after the first twenty only their number grows. */
public final class FileProblems {
    private static final int MOST = 20;

    private final String file;
    private final String consequence;
    private final List<Problem> told = new ArrayList<>();
    private int more;

    public FileProblems(String file, String consequence) {
        this.file = file;
        this.consequence = consequence;
    }

    public void add(int line, String column, String found, String expected) {
        if (told.size() < MOST) {
            told.add(new Problem(file, line, column, found, expected, consequence));
        } else {
            more++;
        }
    }

    public boolean none() {
        return told.isEmpty();
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
            all.add(new Problem(file, 0, "", more + " more problems", "a file without problems", consequence));
        }
        return all;
    }
}
