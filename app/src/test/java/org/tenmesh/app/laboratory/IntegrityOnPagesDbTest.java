package org.tenmesh.app.laboratory;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.store.Store;
import org.tenmesh.store.journal.JournalEntry;
import org.tenmesh.store.live.Arrival;
import org.tenmesh.store.live.RunPart;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.server.StoreSettings;
import org.tenmesh.web.Server;
import org.tenmesh.web.ServerSettings;
import org.tenmesh.web.http.Passwords;

/** What the list of data integrity asks of people's work: through the pages, with a store behind them. The numbers are those of DataIntegrityDbTest. */
final class IntegrityOnPagesDbTest {
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    private static final String PASSWORD = "four words do well here";

    @TempDir
    @SuppressWarnings("NullAway.Init")
    private static Path folder;

    @SuppressWarnings("NullAway.Init")
    private static Store store;

    @SuppressWarnings("NullAway.Init")
    private static Server server;

    private static final Day DAY = Simulator.simulate(Scenario.of(41, 60, DATE).with(Fault.of(CauseKind.DRIFT)))
            .day();
    private static String day = "";

    @BeforeAll
    static void open() {
        store = Store.open(StoreSettings.embedded(folder), Clock.systemUTC(), new SecureRandom());
        String hash = Passwords.hash(PASSWORD);
        for (PersonRole role : PersonRole.values()) {
            store.people().add(new Person(name(role), role, hash), "test");
        }
        day = store.take(DAY, DATE, "0".repeat(64), "test").day();
        server = Server.start(
                ServerSettings.local(0),
                store,
                MethodFiles.shipped(),
                Clock.systemUTC(),
                Optional.empty(),
                Optional.of(new ClientSheets()));
    }

    @AfterAll
    static void close() {
        server.close();
        store.close();
    }

    private static String name(PersonRole role) {
        return "invented " + role.phrase();
    }

    private static SignedIn as(PersonRole role) throws Exception {
        return new SignedIn(server, name(role));
    }

    private static String text(HttpResponse<String> page) {
        return page.body().replaceAll("(?s)<script.*?</script>|<[^>]*>", " ").replaceAll("\\s+", " ");
    }

    private static String submission(int which) {
        return DAY.submissions().get(which).submission();
    }

    private static HttpResponse<String> sign(PersonRole role, String submission, String password) throws Exception {
        SignedIn person = as(role);
        String page = "/release/" + submission;
        Map<String, String> form = person.form(page, page);
        Matcher version = Pattern.compile("data-version=\"([^\"]*)\"")
                .matcher(person.get(page).body());
        form.putIfAbsent("version", version.find() ? version.group(1) : "");
        form.putIfAbsent("revision", "1");
        form.put("reason", "as it stands");
        form.put("password", password);
        return person.post(page, form);
    }

    /** At the dock, from the first count to the submission that was laid out; the bench and the shelf are in PreparationPageTest and ShelfPageTest of web. */
    @Test
    void di03TheFirstValueAndTheReasonOfAChangeStandOnThePage() throws Exception {
        SignedIn dock = as(PersonRole.CLIENT_SERVICE);
        Map<String, String> typed = dock.form("/dock", "/dock/typed");
        typed.put("client", "Tern Bay (invented)");
        typed.put("country", "IE");
        typed.put("labels", "Long Acre");
        typed.put("promised", "2026-11-28");
        String page =
                dock.post("/dock/typed", typed).headers().firstValue("Location").orElseThrow();
        String submission = page.substring("/dock/".length());
        String worksheet = "/intake/" + submission;
        Map<String, String> change = dock.form(worksheet, "/intake/change");
        change.put("client", "Tern Bay Growers (invented)");
        change.put("reason", "full name");
        assertThat(dock.post("/intake/change", change).statusCode()).isEqualTo(303);
        Map<String, String> count = dock.form(page, "/none");
        count.putAll(Map.of("submission", submission, "what", "counted", "number", "2"));
        assertThat(dock.post("/dock/act", count).statusCode()).isEqualTo(303);
        count.put("number", "1");
        assertThat(dock.post("/dock/act", count).statusCode()).isEqualTo(409);
        count.put("reason", "the other bag is packaging");
        assertThat(dock.post("/dock/act", count).statusCode()).isEqualTo(303);
        assertThat(text(dock.get(page)))
                .containsPattern("client Tern Bay \\(invented\\) \\([^)]*\\) Tern Bay Growers \\(invented\\) full name")
                .containsPattern("bags counted 2 bags \\([^)]*\\) 1 bag the other bag is packaging");
        assertThat(text(dock.get(worksheet)))
                .containsPattern(
                        "client Tern Bay \\(invented\\) \\([^)]*\\) Tern Bay Growers \\(invented\\) full name");
        String laidOut = "/submissions/" + submission(0);
        String path = dock.get(laidOut).body().replaceAll("(?s).*action=\"([^\"]*/change)\".*", "$1");
        Map<String, String> anew = dock.form(laidOut, path);
        String first = anew.getOrDefault("client", "");
        anew.put("client", "Another (invented)");
        anew.put("reason", "sold the farm");
        HttpResponse<String> changed = dock.post(path, anew);
        assertThat(changed.statusCode()).as(text(changed)).isEqualTo(303);
        assertThat(text(dock.get(laidOut))).contains(first + " (as it came, ", "Another (invented) sold the farm");
    }

    @Test
    void di06LettingAFailureStandNeedsAReasonAndStandsWithNameAndCountBeforeTheSignature() throws Exception {
        SignedIn charge = as(PersonRole.IN_CHARGE);
        String act = charge.get("/causes").body().replaceAll("(?s).*?action=\"([^\"]*/causes/act)\".*", "$1");
        Map<String, String> form = charge.form("/causes", act);
        assertThat(form).containsKeys("cause", "evidence");
        form.put("action", "accept");
        form.put("reason", "");
        assertThat(text(charge.post(act, form))).contains("not done yet. Give a reason, for the journal.");
        assertThat(store.actions(day)).isEmpty();
        form.put("reason", "a second portion agrees");
        assertThat(charge.post(act, form).statusCode()).isEqualTo(303);
        StringBuilder drafts = new StringBuilder();
        for (int i = 0; i < DAY.submissions().size(); i++) {
            drafts.append(text(charge.get("/release/" + submission(i))));
        }
        assertThat(drafts)
                .contains("Released although a check failed")
                .containsPattern("[0-9]+ results?\\. Accepted by " + name(PersonRole.IN_CHARGE))
                .contains("a second portion agrees");
        assertThat(text(charge.get("/causes"))).contains(name(PersonRole.IN_CHARGE), "a second portion agrees");
    }

    /** Takes a whole run again, its soils read as so many times what they were. */
    private static void readAgain(String name, Run like, double times) {
        Readings.Builder again = Readings.builder();
        Readings was = like.readings();
        for (int i = 0; i < was.size(); i++) {
            again.add(
                    was.position(i),
                    was.role(i),
                    was.identity(i),
                    was.channel(i),
                    was.quantity(i),
                    was.role(i) == Role.SAMPLE ? was.value(i) * times : was.value(i),
                    was.unit(i),
                    was.at(i).plusHours(9),
                    was.dilution(i));
        }
        store.arrivals()
                .take(
                        new Arrival(
                                "folder",
                                name,
                                name + ".csv",
                                Instant.now(),
                                name.getBytes(StandardCharsets.UTF_8),
                                List.of(new RunPart(
                                        new Run(
                                                name,
                                                like.method(),
                                                like.instrument(),
                                                Optional.empty(),
                                                like.startedAt().plusHours(9),
                                                again.build()),
                                        true)),
                                Optional.empty()),
                        "capture");
    }

    @Test
    void di07WhatWasReadMoreThanOnceIsSeenBeforeTheSignatureWithEveryReading() throws Exception {
        Run first = DAY.runs().get(1);
        readAgain("AGAIN-7", first, 1);
        String page = "";
        for (int i = 0; i < 100 && !page.contains("Read more than once"); i++) {
            page = text(as(PersonRole.QUALITY).get("/release/" + submission(0)));
            Thread.sleep(200);
        }
        assertThat(page).contains("Read more than once", " replaced, of which ", "run " + first.run() + ": ");
        Soil soil = DAY.soils().stream()
                .filter(one -> one.submission().equals(Optional.of(submission(0))))
                .filter(one ->
                        first.readings().identities().contains(one.labNumber().text()))
                .findFirst()
                .orElseThrow();
        assertThat(text(as(PersonRole.QUALITY).get("/soils/" + soil.labNumber().text())))
                .contains(soil.labNumber().text());
    }

    @Test
    void di10AReleaseAsksForThePasswordNamesWhoWhenAndWhatAndALaterChangeIsSaidBesideIt() throws Exception {
        String submission = submission(0);
        assertThat(sign(PersonRole.QUALITY, submission, "not the right one").statusCode())
                .isEqualTo(403);
        assertThat(store.releases(day)).isEmpty();
        assertThat(sign(PersonRole.QUALITY, submission, PASSWORD).statusCode()).isEqualTo(303);
        String page = "/submissions/" + submission;
        assertThat(text(as(PersonRole.AUDITOR).get(page)))
                .contains("Signed releases", name(PersonRole.QUALITY), "as it stands", "Revision 1: ")
                .doesNotContain("changed since");
        readAgain("AGAIN-10", DAY.runs().get(0), 1.5);
        // What arrives is judged within moments.
        for (int i = 0; i < 100 && !text(as(PersonRole.AUDITOR).get(page)).contains("changed since"); i++) {
            Thread.sleep(200);
        }
        for (PersonRole role : List.of(PersonRole.IN_CHARGE, PersonRole.CLIENT_SERVICE, PersonRole.AUDITOR)) {
            assertThat(text(as(role).get(page)))
                    .as("as " + role)
                    .contains(
                            "changed since",
                            "Of revision 1 ",
                            "The signature does not stand for what is here now: a new revision is to be signed.");
        }
    }

    @Test
    void di08WhoeverIsDisabledIsOutAtOnceAndStaysInTheHistory() throws Exception {
        store.people().add(new Person("G. Gone", PersonRole.CLIENT_SERVICE, ""), "test");
        SignedIn gone = new SignedIn(server, "G. Gone");
        assertThat(gone.get("/submissions").uri().getPath()).isEqualTo("/submissions");
        store.note("G. Gone", "report-printed", "DI-8", Map.of());
        store.people().change(new Person("G. Gone", PersonRole.CLIENT_SERVICE, "", false), "test");
        assertThat(gone.get("/submissions").uri().getPath()).isEqualTo("/sign-in");
        assertThat(store.journal(200)).anyMatch(entry -> entry.actor().equals("G. Gone"));
    }

    @Test
    void di11NothingLeavesBeforeItIsJudgedFitAndOnlyThoseWithTheRightOverrule() throws Exception {
        SignedIn bench = as(PersonRole.BENCH);
        Map<String, String> own = new LinkedHashMap<>();
        own.put("cause", "drift@ICP1-01#0123456789");
        own.put("evidence", "ab".repeat(32));
        own.put("csrf", bench.form("/bench", "/none").getOrDefault("csrf", ""));
        own.put("action", "accept");
        own.put("reason", "I say so");
        int before = store.actions(day).size();
        assertThat(bench.post("/causes/act", own).statusCode()).isIn(403, 404);
        assertThat(store.actions(day)).hasSize(before);
        assertThat(sign(PersonRole.BENCH, submission(1), PASSWORD).statusCode()).isIn(403, 404);
        assertThat(store.releases(day)).noneMatch(one -> one.submission().equals(submission(1)));
    }

    @Test
    void di12EachTaskIsAllowedToItsRolesAndRefusedToOthersAndTheRefusalIsWrittenDown() throws Exception {
        Map<String, List<PersonRole>> tasks = Map.of(
                "/release",
                        List.of(
                                PersonRole.IN_CHARGE,
                                PersonRole.QUALITY,
                                PersonRole.CLIENT_SERVICE,
                                PersonRole.AUDITOR),
                "/bench", List.of(PersonRole.BENCH),
                "/controls", List.of(PersonRole.QUALITY, PersonRole.AUDITOR),
                "/causes", List.of(PersonRole.IN_CHARGE, PersonRole.QUALITY, PersonRole.AUDITOR));
        for (PersonRole role : PersonRole.values()) {
            SignedIn person = as(role);
            for (Map.Entry<String, List<PersonRole>> task : tasks.entrySet()) {
                boolean allowed = task.getValue().contains(role);
                assertThat(person.get(task.getKey()).statusCode())
                        .as(task.getKey() + " as " + role)
                        .isEqualTo(allowed ? 200 : 404);
                assertThat(store.journal(2000).stream()
                                .filter(entry -> entry.actor().equals(name(role)))
                                .filter(entry -> entry.subject().equals("GET " + task.getKey())))
                        .as("refusals of " + task.getKey() + " to " + role)
                        .hasSize(allowed ? 0 : 1);
            }
        }
    }

    /** A second entry where the source says so is CapturePageTest in web; here the second person. */
    @Test
    void di21WhoTypedAValueDoesNotSignIt() throws Exception {
        String submission = submission(1);
        Soil soil = DAY.soils().stream()
                .filter(one -> one.submission().equals(Optional.of(submission)))
                .findFirst()
                .orElseThrow();
        Run like = DAY.runs().get(0);
        Readings typed = Readings.builder()
                .add(
                        1,
                        Role.SAMPLE,
                        soil.labNumber().text(),
                        "1",
                        like.readings().quantity(0),
                        1,
                        like.readings().unit(0),
                        like.startedAt().plusHours(9),
                        1)
                .build();
        store.arrivals()
                .take(
                        new Arrival(
                                "by-hand",
                                "DI-21",
                                "position 1",
                                Instant.now(),
                                new byte[] {1},
                                List.of(new RunPart(
                                        new Run(
                                                "TYPED-21",
                                                like.method(),
                                                like.instrument(),
                                                Optional.empty(),
                                                like.startedAt().plusHours(9),
                                                typed),
                                        true)),
                                Optional.empty()),
                        name(PersonRole.IN_CHARGE));
        HttpResponse<String> refused = sign(PersonRole.IN_CHARGE, submission, PASSWORD);
        assertThat(refused.statusCode()).isIn(403, 409);
        assertThat(text(as(PersonRole.IN_CHARGE).get("/release/" + submission)))
                .contains("you entered 1 reading of run TYPED-21", "May sign: " + name(PersonRole.QUALITY));
        assertThat(store.releases(day)).noneMatch(one -> one.submission().equals(submission));
        assertThat(store.journal(5)).extracting(JournalEntry::what).doesNotContain("released");
    }
}
