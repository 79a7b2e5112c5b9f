package org.tenmesh.app.line;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;

/** What the user is told when the program fails inside: one sentence, with the details in a file of their own. */
public final class FailedInside {
    private FailedInside() {}

    /**
     * The sentence. Writes the details into a file in the system's temporary folder; where that is not possible they
     * follow the sentence.
     *
     * @param typed the command as typed
     */
    public static String sentence(Throwable failed, List<String> typed) {
        StringWriter details = new StringWriter();
        PrintWriter lines = new PrintWriter(details);
        lines.println("tenmesh " + ProgramVersion.text() + ", Java " + Runtime.version());
        lines.println("typed: " + String.join(" ", typed));
        failed.printStackTrace(lines);
        lines.flush();
        String what = what(failed);
        try {
            Path file = Files.createTempFile("tenmesh-failed-", ".txt");
            Files.writeString(file, details.toString(), StandardCharsets.UTF_8);
            return what + " The details for a report of this fault are in " + file + ".";
        } catch (IOException unwritable) {
            return what + " The details for a report of this fault:\n" + details;
        }
    }

    private static String what(Throwable failed) {
        for (Throwable cause = failed; cause != null; cause = cause.getCause()) {
            if (cause instanceof OutOfMemoryError) {
                return "the " + Runtime.getRuntime().maxMemory() / (1024 * 1024)
                        + " MB of memory that this process may use were not enough for this input.";
            }
            if (cause instanceof StackOverflowError) {
                return "the input is nested too deeply to be read, or the program called itself without end.";
            }
        }
        String said = failed.getMessage();
        return "the program failed inside (" + failed.getClass().getSimpleName()
                + (said == null || said.isBlank()
                        ? ""
                        : ": " + said.lines().findFirst().orElse("")) + ").";
    }
}
