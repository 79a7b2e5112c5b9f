package org.tenmesh.app.line;

import java.io.BufferedWriter;
import java.io.FileDescriptor;
import java.io.FileOutputStream;
import java.io.IOException;
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

    /** Set by the start script where complaints go to a terminal; Java itself only knows whether everything does. */
    private static final String WATCHED = "tenmesh.watched";

    private static final long TICK_MILLIS = 1000;

    /** Something that takes a while. */
    @FunctionalInterface
    public interface Doing<T> {
        T done() throws IOException;
    }

    /** The console of this process, UTF-8 whatever the platform says. */
    public static Console ofProcess() {
        return new Console(
                writer(FileDescriptor.out), writer(FileDescriptor.err), Boolean.getBoolean(WATCHED) && !isDumb());
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

    /**
     * Does something that takes a while; a person sees what, and for how many seconds already.
     *
     * @throws IOException if the work throws it
     */
    public <T> T during(String doing, Doing<T> work) throws IOException {
        if (!watched) {
            return work.done();
        }
        long since = System.nanoTime();
        progress(doing);
        Thread ticking = new Thread(() -> tick(doing, since), "progress");
        ticking.setDaemon(true);
        ticking.start();
        try {
            return work.done();
        } finally {
            ticking.interrupt();
            join(ticking);
            progressDone();
        }
    }

    private void tick(String doing, long since) {
        try {
            while (true) {
                Thread.sleep(TICK_MILLIS);
                progress(doing + ", " + (System.nanoTime() - since) / 1_000_000_000 + " s");
            }
        } catch (InterruptedException done) {
            // the work is done
        }
    }

    private static void join(Thread ticking) {
        try {
            ticking.join();
        } catch (InterruptedException stop) {
            Thread.currentThread().interrupt();
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
