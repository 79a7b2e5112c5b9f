package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.store.Store;
import org.tenmesh.store.journal.JournalCheck;
import org.tenmesh.store.journal.JournalEntry;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.http.Assets;

/** The whole way through a real database: take a day, sign in by link, act, release, read the report, check the journal. */
class StoreDbTest {
    @Test
    void carriesADayFromImportToASignedReportAndAWholeJournal(@TempDir Path folder) {
        Clock clock = Clock.systemUTC();
        try (Store store = EmptyStore.open(folder, clock)) {
            Scenario scenario = Scenario.of(11, 120, InventedDay.DATE).with(Fault.of(CauseKind.CALIBRATION_REJECTED));
            store.take(Simulator.simulate(scenario).day(), Assets.hash("a day"), "test");
            store.people().add(new Person("A. Invented", PersonRole.IN_CHARGE, ""), "test");
            try (Server server = Server.start(ServerSettings.local(0), store, Ashgrove.METHODS, clock)) {
                Browser browser = new Browser(server.address());
                String link =
                        server.oneTimeLink("A. Invented", Duration.ofMinutes(5)).getPath();
                browser.submit(link, link, Map.of());
                String phrase = "a heron over the weir";
                browser.submit("/password", "/password", Map.of("fresh", phrase, "again", phrase));
                Desk desk = server.currentDay().desk().orElseThrow();
                Cause cause = desk.judged().causes().get(0);
                assertThat(browser.submit(
                                        "/causes",
                                        "/causes/act",
                                        Map.of(
                                                "cause",
                                                cause.id(),
                                                "evidence",
                                                cause.evidenceDigest(),
                                                "action",
                                                "order-redo",
                                                "back",
                                                "/causes"))
                                .statusCode())
                        .isEqualTo(303);
                String submission = desk.promises().stream()
                        .filter(p -> p.fit() > 0)
                        .findFirst()
                        .orElseThrow()
                        .submission()
                        .submission();
                Map<String, String> form = new HashMap<>();
                browser.page("/release/" + submission)
                        .select("main form input[type=hidden]")
                        .forEach(i -> form.put(i.attr("name"), i.val()));
                form.put("reason", "first release");
                form.put("password", phrase);
                assertThat(browser.post("/release/" + submission, form).statusCode())
                        .isEqualTo(303);
                byte[] pdf = browser.get("/reports/" + submission + "/1").body();
                assertThat(new String(pdf, 0, 5, StandardCharsets.US_ASCII)).isEqualTo("%PDF-");
            }
            List<JournalEntry> journal = store.journal(100);
            assertThat(journal).extracting(JournalEntry::actor).contains("A. Invented");
            JournalCheck check = store.verifyJournal();
            assertThat(check.whole()).as(check.finding()).isTrue();
            assertThat(store.releases("2026-11-25")).hasSize(1);
            assertThat(store.actions("2026-11-25")).hasSize(1);
        }
    }
}
