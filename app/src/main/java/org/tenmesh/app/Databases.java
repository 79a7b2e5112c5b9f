package org.tenmesh.app;

import java.nio.file.Path;
import org.tenmesh.store.StoreSettings;

/** Which database a command means: the program's own in the data folder, or one named by its URL. */
final class Databases {
    private Databases() {}

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
