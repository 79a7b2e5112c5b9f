package org.tenmesh.store;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.security.SecureRandom;
import java.sql.Connection;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Clock;
import java.time.LocalDate;
import java.util.Comparator;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.stream.Stream;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeFolder;
import org.tenmesh.core.made.MadeLaboratory;
import org.tenmesh.store.days.Receipt;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.server.StoreSettings;

/**
 * One store for the tests of a Java process that need no more than a day of their own in it. Their classes run one after the other, because
 * many ask what the newest entry of the journal is; those with a store of their own run beside them.
 */
final class OpenStore {
    private static final AtomicInteger DAYS = new AtomicInteger();
    /** An empty store. What it commits is not synced to the disk: no test takes the power from the machine. */
    private static final MadeFolder EMPTY = new MadeFolder("program", folder -> {
        Store.open(StoreSettings.embedded(folder), Clock.systemUTC(), new SecureRandom())
                .close();
        append(folder.resolve("database").resolve("postgresql.auto.conf"), "fsync = off\n");
    });

    private OpenStore() {}

    /** Opened when the first test asks for it. */
    private static final class Shared {
        static final Path FOLDER = folder("shared");
        static final Store STORE = open(FOLDER);

        static {
            Runtime.getRuntime().addShutdownHook(new Thread(() -> {
                STORE.close();
                delete(FOLDER);
            }));
        }
    }

    /** The shared store, for a class that is not run beside others. */
    static Store get() {
        Class<?> asking = StackWalker.getInstance(StackWalker.Option.RETAIN_CLASS_REFERENCE)
                .getCallerClass();
        Execution execution = asking.getAnnotation(Execution.class);
        if (execution == null || execution.value() != ExecutionMode.SAME_THREAD) {
            throw new IllegalStateException(
                    asking.getName()
                            + " uses the shared store beside other classes: give it @Execution(ExecutionMode.SAME_THREAD) or a store of its own");
        }
        return Shared.STORE;
    }

    /** Opens a store of a test's own, which is empty where the folder is not there yet. */
    static Store open(Path folder) {
        return open(folder, Clock.systemUTC());
    }

    static Store open(Path folder, Clock clock) {
        if (!Files.exists(folder.resolve("database"))) {
            empty(folder);
        }
        return Store.open(StoreSettings.embedded(folder), clock, new SecureRandom());
    }

    /** Puts an empty store that is closed there. */
    static void empty(Path folder) {
        EMPTY.copyTo(folder);
    }

    private static void append(Path file, String line) {
        try {
            Files.writeString(file, line, StandardOpenOption.APPEND);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** The name of a day in a register that no other test uses. */
    static String freshDay() {
        return freshDay(LocalDate.of(2026, 11, 25));
    }

    static String freshDay(LocalDate date) {
        return date + " test " + DAYS.incrementAndGet();
    }

    /** The same day with its numbers in the register of a day's name. */
    static Day in(String name, Day day) {
        Laboratory l = day.laboratory();
        return MadeDay.like(day)
                .laboratory(MadeLaboratory.like(l).register(name.substring(11)).laboratory())
                .day();
    }

    /** Takes a day under a name of {@link #freshDay()}. */
    static Receipt take(Store store, Day day, String name, String sourceSha256, String actor) {
        return store.take(in(name, day), LocalDate.parse(name.substring(0, 10)), sourceSha256, actor);
    }

    /** A digest that no other source has. */
    static String freshDigest() {
        return Journal.sha256("source " + DAYS.incrementAndGet());
    }

    /** A folder for a store of its own, not there yet. */
    static Path folder(String name) {
        try {
            Path target = Path.of("target").toAbsolutePath();
            Files.createDirectories(target);
            Path folder = Files.createTempDirectory(target, "store-" + name + "-");
            Files.delete(folder);
            return folder;
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    static void delete(Path folder) {
        try (Stream<Path> all = Files.walk(folder)) {
            for (Path path : all.sorted(Comparator.reverseOrder()).toList()) {
                Files.delete(path);
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** The first column of the first row, as the schema's owner. */
    static String ask(Store store, String sql) throws SQLException {
        try (Connection connection = store.connections().owner();
                Statement statement = connection.createStatement();
                ResultSet rows = statement.executeQuery(sql)) {
            rows.next();
            return rows.getString(1);
        }
    }

    /** Runs statements one after the other in one session of the schema's owner. */
    static void run(Store store, String... statements) throws SQLException {
        try (Connection connection = store.connections().owner();
                Statement statement = connection.createStatement()) {
            for (String sql : statements) {
                statement.execute(sql);
            }
        }
    }
}
