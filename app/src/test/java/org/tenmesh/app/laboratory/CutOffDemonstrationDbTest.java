package org.tenmesh.app.laboratory;

import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Path;
import java.time.Clock;
import java.time.LocalDate;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.app.line.CannotUse;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.living.EarlierDay;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.store.Store;
import org.tenmesh.store.server.StoreSettings;

/** A visitor stopped the demonstration while its earlier days were made, and starts it again. */
final class CutOffDemonstrationDbTest {
    @TempDir
    @SuppressWarnings("NullAway.Init")
    private Path data;

    @Test
    void saysWhatToDo() {
        Clock clock = Clock.systemUTC();
        EarlierDay first = EarlierDay.before(LocalDate.now(clock), MethodFiles.shipped(), "Somebody")
                .get(0);
        try (Store store = Databases.open(StoreSettings.embedded(data.resolve("database")), clock)) {
            Demonstration.take(store, first.scenario(), first.day());
        }
        Console console = new Console(new PrintWriter(new StringWriter()), new PrintWriter(new StringWriter()), false);
        assertThatThrownBy(() -> Demonstration.open(console, data, 0, false, 1, clock))
                .isInstanceOf(CannotUse.class)
                .hasMessageContaining("the invented laboratory in " + data + " was not made to its end")
                .hasMessageContaining("delete this folder");
    }
}
