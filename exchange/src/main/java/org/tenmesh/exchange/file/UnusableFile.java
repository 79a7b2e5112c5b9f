package org.tenmesh.exchange.file;

import java.util.List;
import java.util.stream.Collectors;

/** A file without which nothing can go on, such as a method definition, with everything that is wrong in it. */
public final class UnusableFile extends RuntimeException {
    private static final long serialVersionUID = 1L;

    @SuppressWarnings("serial") // never serialised; problems are records of text
    private final List<Problem> problems;

    public UnusableFile(List<Problem> problems) {
        super(problems.stream().map(Problem::sentence).collect(Collectors.joining("\n")));
        this.problems = List.copyOf(problems);
    }

    /** What is wrong, in the order of the file. */
    public List<Problem> problems() {
        return problems;
    }
}
