package org.tenmesh.app.line;

import java.io.BufferedWriter;
import java.io.FileDescriptor;
import java.io.FileOutputStream;
import java.io.OutputStreamWriter;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;

/**
 * Where a command writes.
 *
 * @param out results
 * @param err progress and complaints
 * @param watched whether a person looks at {@code err}: progress is shown only then
 */
public record Console(PrintWriter out, PrintWriter err, boolean watched) {

    /** The console of this process, UTF-8 whatever the platform says. */
    public static Console ofProcess() {
        return new Console(
                writer(FileDescriptor.out), writer(FileDescriptor.err), System.console() != null && !isDumb());
    }

    /** Says at once what a person has to know while the command goes on. */
    public void tell(String sentence) {
        progressDone();
        err.println("tenmesh: " + sentence);
        err.flush();
    }

    /** Shows what is being done, to a person only; the line is overwritten by the next one. */
    public void progress(String doing) {
        if (watched) {
            err.print("\r\u001b[K" + doing);
            err.flush();
        }
    }

    /** Takes the progress line away. */
    public void progressDone() {
        if (watched) {
            err.print("\r\u001b[K");
            err.flush();
        }
    }

    private static boolean isDumb() {
        return "dumb".equals(System.getenv("TERM"));
    }

    private static PrintWriter writer(FileDescriptor descriptor) {
        return new PrintWriter(new BufferedWriter(
                new OutputStreamWriter(new FileOutputStream(descriptor), StandardCharsets.UTF_8), 8192));
    }
}
