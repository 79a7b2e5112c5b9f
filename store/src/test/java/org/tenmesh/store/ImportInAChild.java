package org.tenmesh.store;

import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.Clock;

/** A program of its own that takes a small day and then a big one, to be killed while it does. */
final class ImportInAChild {
    private ImportInAChild() {}

    public static void main(String[] arguments) {
        try (Store store =
                Store.open(StoreSettings.embedded(Path.of(arguments[0])), Clock.systemUTC(), new SecureRandom())) {
            store.take(InventedDay.of(40), "small", Journal.sha256("small"), "M. Whelan");
            store.take(InventedDay.of(Integer.parseInt(arguments[1])), "big", Journal.sha256("big"), "M. Whelan");
        }
    }
}
