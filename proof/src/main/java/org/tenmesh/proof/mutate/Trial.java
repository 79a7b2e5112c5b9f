package org.tenmesh.proof.mutate;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.FutureTask;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import org.tenmesh.app.Main;
import org.tenmesh.app.line.Console;

/** Judges days with a mistake in them by the command itself, in this process and with a time limit. */
final class Trial {
    private static final int FAILED_INSIDE = 3;

    private final Path work;
    private final int seconds;
    private int number;

    Trial(Path work, int seconds) {
        this.work = work;
        this.seconds = seconds;
    }

    /** A day without a mistake and what the command says of it. */
    record Base(Folder folder, Judged judged, Map<String, byte[]> output) {}

    Base base(Folder folder) throws IOException {
        Path day = work.resolve("base-" + ++number);
        folder.write(day);
        Path out = work.resolve("judged-" + number);
        Ended ended = judge(day, out);
        if (ended.status < 0 || ended.status >= FAILED_INSIDE) {
            throw new IOException("a day without a mistake: " + ended.said);
        }
        Judged judged = Judged.read(out, ended.status);
        Map<String, byte[]> output = Folder.read(out).files;
        Folder.remove(day);
        Folder.remove(out);
        return new Base(folder, judged, output);
    }

    Seen run(Base base, Folder changed) throws IOException {
        Path day = work.resolve("day-" + ++number);
        Path out = work.resolve("out-" + number);
        // Every second time an earlier judgement lies there, which must stay whole or go as a whole.
        boolean earlier = number % 2 == 0;
        try {
            changed.write(day);
            if (earlier) {
                Files.createDirectories(out);
                for (Map.Entry<String, byte[]> file : base.output.entrySet()) {
                    Files.write(out.resolve(file.getKey()), file.getValue());
                }
            }
            Ended ended = judge(day, out);
            if (ended.status == Ended.HUNG) {
                return new Seen(Outcome.HANG, ended.status, "no end within " + seconds + " s");
            }
            Optional<String> half = half(out, ended, earlier ? base.output : Map.of());
            if (half.isPresent()) {
                return new Seen(Outcome.HALF_WRITTEN, ended.status, half.get() + "; " + ended.said);
            }
            if (ended.status >= FAILED_INSIDE || ended.status < 0) {
                return new Seen(Outcome.CRASH, ended.status, ended.said);
            }
            if (!ended.wrote) {
                return new Seen(Outcome.REFUSED, ended.status, ended.said);
            }
            return Compared.of(
                    base.judged, Judged.read(out, ended.status), Account.wrong(out.resolve("summary.json"), changed));
        } finally {
            Folder.remove(day);
            Folder.remove(out);
        }
    }

    // A failed command leaves the folder as it was; one that was done has written every file; nothing else is left
    // anywhere.
    private Optional<String> half(Path out, Ended ended, Map<String, byte[]> before) throws IOException {
        for (String name : Folder.names(work)) {
            if (name.contains(".part")) {
                return Optional.of("left over: " + name);
            }
        }
        List<String> names = Folder.names(out);
        if (ended.wrote) {
            return names.equals(Judged.FILES) ? Optional.empty() : Optional.of("written: " + names);
        }
        Set<String> there = new HashSet<>(names);
        boolean same = there.equals(before.keySet());
        for (Map.Entry<String, byte[]> file : before.entrySet()) {
            same = same && java.util.Arrays.equals(file.getValue(), Files.readAllBytes(out.resolve(file.getKey())));
        }
        return same ? Optional.empty() : Optional.of("changed although nothing was judged: " + names);
    }

    /** @param wrote whether the command says that it has judged */
    private record Ended(int status, boolean wrote, String said) {
        static final int HUNG = -2;
        static final int THREW = -1;
    }

    private Ended judge(Path day, Path out) {
        StringWriter said = new StringWriter();
        StringWriter complaint = new StringWriter();
        FutureTask<Integer> task = new FutureTask<>(() -> Main.run(
                new Console(new PrintWriter(said), new PrintWriter(complaint), false),
                "judge",
                day.toString(),
                "--out",
                out.toString(),
                "--json"));
        Thread thread = new Thread(task, "judge");
        thread.setDaemon(true);
        thread.start();
        try {
            int status = task.get(seconds, TimeUnit.SECONDS);
            String last = complaint.toString().strip();
            return new Ended(status, said.toString().contains("\"verdicts\""), last);
        } catch (TimeoutException hung) {
            return new Ended(Ended.HUNG, false, "");
        } catch (ExecutionException failed) {
            return new Ended(Ended.THREW, false, String.valueOf(failed.getCause()));
        } catch (InterruptedException stopped) {
            Thread.currentThread().interrupt();
            return new Ended(Ended.HUNG, false, "interrupted");
        }
    }
}
