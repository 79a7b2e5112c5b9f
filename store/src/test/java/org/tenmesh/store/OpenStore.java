package org.tenmesh.store;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
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
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeLaboratory;
import org.tenmesh.store.days.Receipt;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.server.StoreSettings;

/** One store for all tests of a Java process; each test uses a day of its own. */
final class OpenStore {
    private static final AtomicInteger DAYS = new AtomicInteger();
    private static final Path FOLDER = folder("shared");
    private static final Store STORE =
            Store.open(StoreSettings.embedded(FOLDER), Clock.systemUTC(), new SecureRandom());

    static {
        Runtime.getRuntime().addShutdownHook(new Thread(() -> {
            STORE.close();
            delete(FOLDER);
        }));
    }

    private OpenStore() {}

    static Store get() {
        return STORE;
    }

    static Path sharedFolder() {
        return FOLDER;
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
