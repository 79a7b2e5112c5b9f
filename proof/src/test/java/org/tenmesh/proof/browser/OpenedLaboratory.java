package org.tenmesh.proof.browser;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.Clock;
import java.time.Duration;
import java.time.LocalDate;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.store.Store;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.server.StoreSettings;
import org.tenmesh.web.Server;
import org.tenmesh.web.ServerSettings;

/** A laboratory with an invented day of 240 soils and a drift, its pages, and a browser that looks at them. */
record OpenedLaboratory(Browser browser, Store store, Server server, Path downloads) implements AutoCloseable {
    static final String NAME = "R. Quill";
    static final String PASSWORD = "four words do well";

    /** Skips the test where there is no browser. */
    static OpenedLaboratory open(Path folder) throws IOException {
        Path downloads = Files.createDirectory(folder.resolve("downloads"));
        Browser browser = Browser.start(downloads);
        Store store =
                Store.open(StoreSettings.embedded(folder.resolve("database")), Clock.systemUTC(), new SecureRandom());
        Day day = Simulator.simulate(
                        Scenario.of(41, 240, LocalDate.of(2026, 11, 25)).with(Fault.of(CauseKind.DRIFT)))
                .day();
        store.take(day, "0".repeat(64), "test");
        store.people().add(new Person(NAME, PersonRole.IN_CHARGE, Server.passwordHash(PASSWORD)), "test");
        Server server = Server.start(ServerSettings.local(0), store, MethodFiles.shipped(), Clock.systemUTC());
        return new OpenedLaboratory(browser, store, server, downloads);
    }

    /** Signs in by a link, and sees the first page. */
    void signIn() {
        browser.open(server.oneTimeLink(NAME, Duration.ofMinutes(10)).toString());
        browser.waitFor("Sign in once");
        browser.tabToWords("Sign in");
        browser.enter("Causes, costliest first");
    }

    @Override
    public void close() {
        server.close();
        store.close();
        browser.close();
    }
}
