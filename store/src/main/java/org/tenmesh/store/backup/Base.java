package org.tenmesh.store.backup;

import java.io.IOException;
import java.io.Reader;
import java.io.Writer;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.Properties;
import org.tenmesh.store.rows.Refused;

/**
 * A whole copy of the database.
 *
 * @param folder where it lies
 * @param began when the copy began
 * @param ended when it was whole: it can be recovered to this moment and any later one
 * @param system the database cluster that it is of, as PostgreSQL numbers it
 * @param timeline how often that cluster had been recovered before, and once more
 * @param first name of the first segment that it needs
 * @param last name of the last segment that it needs
 * @param bytes of its files before they were compressed
 * @param sha256 of the compressed file
 * @param entries number of the newest journal entry when it began
 * @param head hash of that entry
 */
public record Base(
        Path folder,
        Instant began,
        Instant ended,
        String system,
        int timeline,
        String first,
        String last,
        long bytes,
        String sha256,
        long entries,
        String head) {
    static final String SAYS = "base.properties";
    static final String FILES = "base.tar.gz";

    static Base read(Path folder) {
        Properties says = new Properties();
        try (Reader in = Files.newBufferedReader(folder.resolve(SAYS))) {
            says.load(in);
            return new Base(
                    folder,
                    Instant.parse(of(says, "began")),
                    Instant.parse(of(says, "ended")),
                    of(says, "system"),
                    Integer.parseInt(of(says, "timeline")),
                    of(says, "first"),
                    of(says, "last"),
                    Long.parseLong(of(says, "bytes")),
                    of(says, "sha256"),
                    Long.parseLong(of(says, "journal-entries")),
                    of(says, "journal-head"));
        } catch (IOException | RuntimeException wrong) {
            throw new Refused("the backup " + folder + " cannot be used: " + SAYS + " in it does not say what it is ("
                    + wrong.getMessage() + ")");
        }
    }

    private static String of(Properties says, String key) {
        String value = says.getProperty(key);
        if (value == null) {
            throw new IllegalArgumentException(key + " is missing");
        }
        return value;
    }

    void write(Path into) throws IOException {
        Properties says = new Properties();
        says.setProperty("began", began.toString());
        says.setProperty("ended", ended.toString());
        says.setProperty("system", system);
        says.setProperty("timeline", Integer.toString(timeline));
        says.setProperty("first", first);
        says.setProperty("last", last);
        says.setProperty("bytes", Long.toString(bytes));
        says.setProperty("sha256", sha256);
        says.setProperty("journal-entries", Long.toString(entries));
        says.setProperty("journal-head", head);
        try (Writer out = Files.newBufferedWriter(into.resolve(SAYS))) {
            says.store(out, "A whole copy of a Tenmesh database; see docs/operate/database.md");
        }
    }
}
