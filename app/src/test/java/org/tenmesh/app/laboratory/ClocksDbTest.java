package org.tenmesh.app.laboratory;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.net.http.HttpResponse;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.PreparedStatement;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.app.line.Console;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.store.Store;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.server.EmbeddedServer;
import org.tenmesh.store.server.StoreSettings;
import org.tenmesh.web.Server;
import org.tenmesh.web.ServerSettings;
import org.tenmesh.web.http.Passwords;

/** A server whose clock is set forward and back, from the pages to the database and to what verify prints. */
final class ClocksDbTest {
    private static final String NAME = "R. Quill";
    private static final String PASSWORD = "four words do well here";
    private static final MethodBook METHODS = MethodFiles.shipped();

    @TempDir
    @SuppressWarnings("NullAway.Init")
    private Path folder;

    /** The clock of this machine, set forward or back. */
    private static final class SteppedClock extends Clock {
        private volatile Duration ahead = Duration.ZERO;

        @Override
        public Instant instant() {
            return Instant.now().plus(ahead);
        }

        @Override
        public ZoneId getZone() {
            return ZoneOffset.UTC;
        }

        @Override
        public Clock withZone(ZoneId zone) {
            Clock its = this;
            return new Clock() {
                @Override
                public Instant instant() {
                    return its.instant();
                }

                @Override
                public ZoneId getZone() {
                    return zone;
                }

                @Override
                public Clock withZone(ZoneId other) {
                    return its.withZone(other);
                }
            };
        }
    }

    @Test
    void aDayForwardIsToldDiscardsNothingAndIsRightAgainWhenItIsSetBack() throws Exception {
        SteppedClock clock = new SteppedClock();
        LocalDate today = LocalDate.now(ZoneOffset.UTC);
        Day day = Simulator.simulate(Scenario.of(41, 24, today)).day();
        try (Store store = Store.open(
                StoreSettings.embedded(EmptyStore.at(folder.resolve("database"))), clock, new SecureRandom())) {
            store.people().add(new Person(NAME, PersonRole.IN_CHARGE, Passwords.hash(PASSWORD)), "test");
            store.take(day, today, "0".repeat(64), "test");
            store.clockWatch().begin(System::nanoTime, failed -> {});
            try (Server server =
                    Server.start(ServerSettings.local(0), store, METHODS, clock, Optional.empty(), Optional.empty())) {
                assertThat(new SignedIn(server, NAME).get("/today").body()).doesNotContain("clock");

                clock.ahead = Duration.ofDays(1);
                store.clockWatch().look();
                SignedIn ahead = new SignedIn(server, NAME);
                for (String page : List.of("/today", "/capture")) {
                    assertThat(ahead.get(page).body()).as(page).contains("clock is 24 h ahead of the database");
                }
                assertThat(ahead.get("/capture").body())
                        .contains("was set forward, or the machine stood still, by 24 h");
                assertThat(ahead.get("/shelf").body()).contains("value=\"" + today.plusDays(1) + "\"");
                String page = aList(today);
                HttpResponse<String> refused = ahead.post("/shelf/sign", sign(ahead, page));
                assertThat(refused.statusCode()).isEqualTo(409);
                assertThat(refused.body())
                        .contains("Nothing was signed and nothing was discarded", "in doubt", "differ by 24 h");

                clock.ahead = Duration.ZERO;
                SignedIn right = new SignedIn(server, NAME);
                assertThat(right.get("/shelf").body()).contains("value=\"" + today + "\"");
                assertThat(right.post("/shelf/sign", sign(right, page)).body())
                        .as("whatever the list says of itself, the clock refuses nothing")
                        .doesNotContain("in doubt");
                assertThat(right.get("/today").body()).contains("was set");
            }
            StringWriter printed = new StringWriter();
            PrintWriter out = new PrintWriter(printed, true);
            new Verifying(new Console(out, out, false)).verify(store, METHODS, Optional.empty(), List.of(), false);
            assertThat(printed.toString())
                    .contains(
                            "The server's clock was moved by 86400 s",
                            "moved by -86400 s",
                            "86400 s ahead of the database's");
        }
    }

    /** A discard list behind the program: soils are due weeks after the releases that nobody made here. */
    private String aList(LocalDate day) throws Exception {
        Path its = folder.resolve("database");
        String name = "D-" + DateTimeFormatter.ofPattern("yyMMdd").format(day) + "-1";
        try (Connection owner = DriverManager.getConnection(
                        EmbeddedServer.running(its).orElseThrow(),
                        "tenmesh_owner",
                        Files.readString(its.resolve("secrets/tenmesh_owner")).strip());
                PreparedStatement made = owner.prepareStatement("insert into shelf.act"
                        + " (batch, what, about, to_what, until_on, regulated, reason, person, at)"
                        + " values (0, 'list-made', ?, '', ?, false, '', 'test', now())")) {
            made.setString(1, name);
            made.setObject(2, day);
            made.execute();
        }
        return "/shelf/lists/" + name;
    }

    private static Map<String, String> sign(SignedIn browser, String page) throws Exception {
        Map<String, String> form = browser.form(page, "/none");
        form.put("list", page.substring(page.lastIndexOf('/') + 1));
        form.put("password", PASSWORD);
        return form;
    }
}
