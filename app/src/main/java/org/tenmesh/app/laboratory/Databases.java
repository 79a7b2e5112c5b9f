package org.tenmesh.app.laboratory;

import java.io.IOException;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.sql.SQLException;
import java.time.Clock;
import org.tenmesh.app.line.CannotUse;
import org.tenmesh.app.line.Refused;
import org.tenmesh.app.line.Shape;
import org.tenmesh.store.Store;
import org.tenmesh.store.server.StoreSettings;

/** Which database a command means: the program's own in the data folder, or one named by its URL. */
public final class Databases {
    private Databases() {}

    /** Opens the database that a command means; see {@link #open(StoreSettings, Clock)}. */
    static Store open(Shape.Given given, Path data, Clock clock) {
        return open(of(given, data), clock);
    }

    /**
     * Opens a database.
     *
     * @throws CannotUse with what to do when the folder is in use, cannot be written or has lost its passwords, or when
     *     the server does not answer or does not let the program in
     */
    public static Store open(StoreSettings settings, Clock clock) {
        try {
            return Store.open(settings, clock, new SecureRandom());
        } catch (IllegalStateException notNow) {
            throw new CannotUse(sentence(notNow));
        } catch (RuntimeException failed) {
            for (Throwable cause = failed; cause != null; cause = cause.getCause()) {
                if (cause instanceof SQLException refused) {
                    if (settings instanceof StoreSettings.Embedded embedded && notLetIn(refused)) {
                        throw new CannotUse("the passwords in "
                                + embedded.folder().resolve("secrets") + " do not fit the database " + place(settings)
                                + "; put back the folder secrets that belongs to it, from its backup");
                    }
                    throw new CannotUse("the database " + place(settings) + " cannot be opened: " + sentence(refused));
                }
                if (cause instanceof IOException refused) {
                    throw new CannotUse(
                            "the database " + place(settings) + " cannot be opened: " + Refused.sentence(refused));
                }
            }
            if (settings instanceof StoreSettings.ByUrl && failed instanceof IllegalArgumentException) {
                throw new CannotUse("--database takes jdbc:postgresql://HOST:PORT/NAME; " + sentence(failed));
            }
            throw failed;
        }
    }

    // SQLSTATE class 28, invalid authorization specification: PostgreSQL's manual, appendix A.
    private static boolean notLetIn(SQLException refused) {
        return String.valueOf(refused.getSQLState()).startsWith("28");
    }

    private static String place(StoreSettings settings) {
        if (settings instanceof StoreSettings.ByUrl byUrl) {
            return byUrl.url() + " (user " + byUrl.user() + ", password from TENMESH_DATABASE_PASSWORD)";
        }
        return "in " + ((StoreSettings.Embedded) settings).folder();
    }

    // The first line says what is wrong; what a server appends to it helps nobody at a console.
    private static String sentence(Throwable failed) {
        return String.valueOf(failed.getMessage()).lines().findFirst().orElse("");
    }

    /** The settings of the database that a command means. */
    static StoreSettings of(Shape.Given given, Path data) {
        String url = given.text("--database").orElse("");
        if (url.isEmpty()) {
            return StoreSettings.embedded(data.resolve("database"));
        }
        if (!url.startsWith("jdbc:postgresql://")) {
            throw new CannotUse("--database takes jdbc:postgresql://HOST:PORT/NAME, found \"" + url + "\"");
        }
        String password = System.getenv("TENMESH_DATABASE_PASSWORD");
        return StoreSettings.byUrl(
                url,
                given.text("--database-user").orElse(System.getProperty("user.name")),
                password == null ? "" : password,
                data.resolve("secrets"));
    }
}
