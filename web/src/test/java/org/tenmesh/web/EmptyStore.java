package org.tenmesh.web;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.security.SecureRandom;
import java.time.Clock;
import org.tenmesh.core.made.MadeFolder;
import org.tenmesh.store.Store;
import org.tenmesh.store.server.StoreSettings;

/** A store with nothing in it, made once. What it commits is not synced to the disk: no test takes the power from the machine. */
final class EmptyStore {
    private static final MadeFolder EMPTY = new MadeFolder("program", folder -> {
        Store.open(StoreSettings.embedded(folder), Clock.systemUTC(), new SecureRandom())
                .close();
        try {
            Files.writeString(
                    folder.resolve("database").resolve("postgresql.auto.conf"),
                    "fsync = off\n",
                    StandardOpenOption.APPEND);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    });

    private EmptyStore() {}

    /** @param folder not there yet, or empty */
    static Store open(Path folder, Clock clock) {
        return Store.open(StoreSettings.embedded(EMPTY.copyTo(folder)), clock, new SecureRandom());
    }
}
