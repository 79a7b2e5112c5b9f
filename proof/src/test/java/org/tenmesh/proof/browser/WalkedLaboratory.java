package org.tenmesh.proof.browser;

import static java.util.Objects.requireNonNull;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.Map;
import java.util.Optional;
import org.openqa.selenium.Keys;
import org.tenmesh.app.laboratory.ClientSheets;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.store.Store;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.server.StoreSettings;
import org.tenmesh.web.Server;
import org.tenmesh.web.ServerSettings;

/** A laboratory whose clock the test sets, with somebody of each role, walked through in a browser. */
record WalkedLaboratory(Browser browser, Store store, Server server, Path downloads, SetClock clock)
        implements AutoCloseable {
    static final String PASSWORD = "a heron over the weir";

    private static final Map<PersonRole, String> PEOPLE = Map.of(
            PersonRole.CLIENT_SERVICE, "C. Fescue",
            PersonRole.QUALITY, "A. Marram",
            PersonRole.BENCH, "B. Tansy",
            PersonRole.IN_CHARGE, "R. Quill",
            PersonRole.AUDITOR, "D. Yarrow");

    /** A clock that stands until it is set: an oven that heats for two hours takes no time here. */
    static final class SetClock extends Clock {
        private volatile Instant now;

        SetClock(Instant now) {
            this.now = now;
        }

        void set(Instant to) {
            now = to;
        }

        @Override
        public Instant instant() {
            return now;
        }

        @Override
        public ZoneId getZone() {
            return ZoneOffset.UTC;
        }

        @Override
        public Clock withZone(ZoneId zone) {
            return this;
        }
    }

    /** Skips the test where there is no browser. */
    static WalkedLaboratory open(Path folder, Day day, Instant now) throws IOException {
        Path downloads = Files.createDirectory(folder.resolve("downloads"));
        Browser browser = Browser.start(downloads);
        SetClock clock = new SetClock(now);
        Store store = Store.open(StoreSettings.embedded(folder.resolve("database")), clock, new SecureRandom());
        store.take(day, "1".repeat(64), "test");
        String hash = Server.passwordHash(PASSWORD);
        PEOPLE.forEach((role, name) -> store.people().add(new Person(name, role, hash), "test"));
        Server server = Server.start(
                ServerSettings.local(0),
                store,
                MethodFiles.shipped(),
                clock,
                Optional.empty(),
                Optional.of(new ClientSheets()));
        return new WalkedLaboratory(browser, store, server, downloads, clock);
    }

    static String name(PersonRole role) {
        return requireNonNull(PEOPLE.get(role));
    }

    /** Signs in by a link, whoever was signed in before. */
    void signIn(PersonRole role) {
        browser.open(server.oneTimeLink(name(role), Duration.ofMinutes(10)).toString());
        browser.enterAt("form[action^='/enter/'] button", name(role));
    }

    void page(String path) {
        browser.open(server.address().resolve(path).toString());
    }

    /** Writes into a field and presses Enter. */
    void say(String field, String text, String wordsOfTheNextPage) {
        browser.write(field, text);
        browser.press(Keys.ENTER);
        browser.waitFor(wordsOfTheNextPage);
    }

    Path download(String path, String ending) throws IOException {
        return browser.download(server.address().resolve(path).toString(), downloads, ending);
    }

    /** A PDF as text, or the test is skipped from here on where nothing can read it. */
    static String text(Path pdf) throws IOException, InterruptedException {
        Process process = null;
        try {
            process = new ProcessBuilder("pdftotext", "-layout", pdf.toString(), "-")
                    .redirectErrorStream(true)
                    .start();
        } catch (IOException absent) {
            assumeTrue(false, "skipped: no pdftotext on the PATH (Debian: apt-get install poppler-utils)");
        }
        Process reads = requireNonNull(process);
        String text = new String(reads.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        if (reads.waitFor() != 0) {
            throw new AssertionError(text);
        }
        return text;
    }

    @Override
    public void close() {
        server.close();
        store.close();
        browser.close();
    }
}
