package org.tenmesh.exchange;

import java.util.ArrayList;
import java.util.List;

/** Collects what is wrong in one file; after the first twenty only their number grows. */
final class FileProblems {
    private static final int MOST = 20;

    private final String file;
    private final String consequence;
    private final List<Problem> told = new ArrayList<>();
    private int more;

    FileProblems(String file, String consequence) {
        this.file = file;
        this.consequence = consequence;
    }

    void add(int line, String column, String found, String expected) {
        if (told.size() < MOST) {
            told.add(new Problem(file, line, column, found, expected, consequence));
        } else {
            more++;
        }
    }

    boolean none() {
        return told.isEmpty();
    }

    String file() {
        return file;
    }

    String consequence() {
        return consequence;
    }

    /** For callers that add whole problems of this file. */
    List<Problem> told() {
        return told;
    }

    List<Problem> all() {
        List<Problem> all = new ArrayList<>(told);
        if (more > 0) {
            all.add(new Problem(file, 0, "", more + " more problems", "a file without problems", consequence));
        }
        return all;
    }
}
