package org.tenmesh.app.line;

import java.io.IOException;

/** One command of the program. */
public interface Command {
    /** What it takes. */
    Shape shape();

    /**
     * Does it.
     *
     * @return exit status, see {@link Status}
     * @throws CannotUse if the input cannot be used
     * @throws IOException if a file or the network fails
     */
    int run(Shape.Given given, Console console) throws IOException;
}
