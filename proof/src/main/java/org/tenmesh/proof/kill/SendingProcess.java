package org.tenmesh.proof.kill;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentSkipListMap;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;

/** A {@link Sending} in a process of its own, which can be killed and started again, and what it said was acknowledged. */
final class SendingProcess {
    private static final int START_SECONDS = 240;

    private final Path folder;
    private final int rate;
    private final int which;
    private final int of;
    private final List<String> store;
    private final Map<String, Integer> sent = new ConcurrentSkipListMap<>();
    private volatile long lastNanos;
    private Process process;
    private Thread listener;

    /**
     * Starts it and waits until it is ready.
     *
     * @param folder for its log and for what was acknowledged
     * @param store as {@link Sending#settings} reads it
     */
    SendingProcess(Path folder, int rate, int which, int of, List<String> store)
            throws IOException, InterruptedException {
        this.folder = folder;
        this.rate = rate;
        this.which = which;
        this.of = of;
        this.store = List.copyOf(store);
        process = started();
        CountDownLatch ready = new CountDownLatch(1);
        listener = listening(ready);
        await(ready);
    }

    /** Starts it again after it was killed. */
    void again() throws IOException, InterruptedException {
        process = started();
        CountDownLatch ready = new CountDownLatch(1);
        listener = listening(ready);
        await(ready);
    }

    private Process started() throws IOException {
        Path acknowledged = folder.resolve("acknowledged-" + which + ".txt");
        List<String> lines = new ArrayList<>();
        sent.forEach((run, count) -> lines.add(run + " " + count));
        Files.write(acknowledged, lines);
        List<String> command = new ArrayList<>(List.of(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-Xmx512m",
                "-cp",
                System.getProperty("java.class.path"),
                Sending.class.getName(),
                acknowledged.toString(),
                "" + rate,
                "" + which,
                "" + of));
        command.addAll(store);
        return new ProcessBuilder(command)
                .redirectError(ProcessBuilder.Redirect.appendTo(
                        folder.resolve("server-" + which + ".log").toFile()))
                .start();
    }

    private Thread listening(CountDownLatch ready) {
        Process its = process;
        Thread thread = new Thread(() -> listen(its, ready), "acknowledged-" + which);
        thread.start();
        return thread;
    }

    private void await(CountDownLatch ready) throws InterruptedException {
        if (!ready.await(START_SECONDS, TimeUnit.SECONDS)) {
            process.destroyForcibly();
            throw new IllegalStateException(
                    "server " + which + " did not start within " + START_SECONDS + " s; see " + folder);
        }
    }

    private void listen(Process its, CountDownLatch ready) {
        try (BufferedReader lines =
                new BufferedReader(new InputStreamReader(its.getInputStream(), StandardCharsets.UTF_8))) {
            for (String line = lines.readLine(); line != null; line = lines.readLine()) {
                String[] words = line.split(" ");
                if (words[0].equals("ready")) {
                    ready.countDown();
                } else if (words[0].equals("sent") && words.length == 3) {
                    sent.merge(words[1], Integer.parseInt(words[2]), Math::max);
                    lastNanos = System.nanoTime();
                }
            }
        } catch (IOException e) {
            // Killed in the middle of a line.
        }
    }

    /** Kills it without a warning and waits until everything that it had said is heard. */
    void kill() throws InterruptedException {
        process.destroyForcibly();
        process.waitFor();
        listener.join();
    }

    boolean alive() {
        return process.isAlive();
    }

    /** When the last reading was acknowledged, by {@link System#nanoTime}. */
    long lastNanos() {
        return lastNanos;
    }

    /** Readings acknowledged of each run. */
    Map<String, Integer> sent() {
        return Map.copyOf(sent);
    }

    long acknowledged() {
        return sent.values().stream().mapToLong(Integer::longValue).sum();
    }
}
