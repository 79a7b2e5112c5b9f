package org.tenmesh.store;

import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.Clock;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.server.StoreSettings;

/** A program of its own that takes a small day and then a big one, to be killed while it does. */
final class ImportInAChild {
    private ImportInAChild() {}

    public static void main(String[] arguments) {
        try (Store store =
                Store.open(StoreSettings.embedded(Path.of(arguments[0])), Clock.systemUTC(), new SecureRandom())) {
            OpenStore.take(store, InventedDay.of(40), "2026-11-25 small", Journal.sha256("small"), "M. Whelan");
            OpenStore.take(
                    store,
                    InventedDay.of(Integer.parseInt(arguments[1])),
                    "2026-11-25 big",
                    Journal.sha256("big"),
                    "M. Whelan");
        }
    }
}
