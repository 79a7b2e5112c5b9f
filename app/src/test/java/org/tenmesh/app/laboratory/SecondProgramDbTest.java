package org.tenmesh.app.laboratory;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.math.BigDecimal;
import java.net.CookieManager;
import java.net.URI;
import java.net.URLEncoder;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.zip.ZipEntry;
import java.util.zip.ZipFile;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.app.laboratory.DescribedClient.Answer;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.release.Releasing;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.store.Store;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.programs.Scope;
import org.tenmesh.web.Server;
import org.tenmesh.web.ServerSettings;

/** A second program, which knows the published description alone, registers submissions, reads what was released, follows changes. */
final class SecondProgramDbTest {
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    private static final MethodBook METHODS = MethodFiles.shipped();
    private static final Set<Scope> ALL = Set.of(Scope.REGISTER, Scope.RESULTS, Scope.FEED);

    @TempDir
    @SuppressWarnings("NullAway.Init")
    private static Path folder;

    @SuppressWarnings("NullAway.Init")
    private static Store store;

    @SuppressWarnings("NullAway.Init")
    private static Server server;

    /** The day that was read, before the layout of what is registered makes a newer one. */
    @SuppressWarnings("NullAway.Init")
    private static Desk desk;

    @BeforeAll
    static void open() {
        store = EmptyStore.open(folder);
        Day day = Simulator.simulate(Scenario.of(41, 60, DATE)).day();
        store.take(day, DATE, "0".repeat(64), "test");
        for (PersonRole role : PersonRole.values()) {
            store.people().add(new Person("invented " + role.phrase(), role, ""), "test");
        }
        server = Server.start(
                ServerSettings.local(0),
                store,
                METHODS,
                Clock.systemUTC(),
                Optional.empty(),
                Optional.of(new ClientSheets()));
        desk = server.day().orElseThrow();
    }

    @AfterAll
    static void close() {
        server.close();
        store.close();
    }

    private static DescribedClient client(String program, Set<Scope> scopes, boolean ownOnly) throws Exception {
        return new DescribedClient(
                server.address(),
                store.tokens().make(program, scopes, ownOnly, Instant.now().plus(Duration.ofDays(1)), "test"));
    }

    /** A submission with results of which something may leave. */
    private static String releasable() {
        return desk.day().submissions().stream()
                .map(one -> one.submission())
                .filter(one -> store.releases(DATE.toString()).stream()
                        .noneMatch(release -> release.submission().equals(one)))
                .filter(one -> drafted(one).stream()
                        .anyMatch(result -> result.heldBecause().isEmpty()))
                .findFirst()
                .orElseThrow();
    }

    private static List<ReleasedResult> drafted(String submission) {
        return Releasing.draft(desk.day(), desk.soilsOf(submission), desk.standing(submission), desk.ruled(), METHODS);
    }

    private static void release(String submission, int revision, List<ReleasedResult> results) {
        store.release(
                DATE.toString(),
                new Release(
                        submission,
                        revision,
                        "invented person in charge",
                        OffsetDateTime.now(ZoneOffset.UTC),
                        revision == 1 ? "first release" : "potassium looked at again",
                        results));
    }

    /** The first result that left as a number, held back instead. */
    private static List<ReleasedResult> withOneHeld(List<ReleasedResult> results) {
        List<ReleasedResult> changed = new ArrayList<>(results);
        for (int i = 0; i < changed.size(); i++) {
            ReleasedResult one = changed.get(i);
            if (one.value().isPresent() && one.heldBecause().isEmpty()) {
                changed.set(
                        i,
                        new ReleasedResult(
                                one.labNumber(),
                                one.method(),
                                one.methodVersion(),
                                one.analyte(),
                                java.util.OptionalDouble.empty(),
                                one.unit(),
                                "",
                                "",
                                "it is being repeated"));
                return changed;
            }
        }
        throw new AssertionError("nothing left as a number");
    }

    @Test
    void theDescriptionHasTheRouteTableAndNothingElse() throws Exception {
        DescribedClient client = client("reader of descriptions", ALL, false);
        Set<String> table = new TreeSet<>();
        server.interfaceTable().forEach((route, scope) -> table.add(route));
        assertThat(client.operations()).isEqualTo(table);
        assertThat(client.scopes()).containsExactlyInAnyOrderEntriesOf(server.interfaceTable());
        server.interfaceParameters()
                .forEach((route, names) ->
                        assertThat(client.queryOf(route)).as(route).isEqualTo(names));
        assertThat(client.call("getDescription", Map.of(), "").status()).isEqualTo(200);
        Map<String, Object> change = Map.of("$ref", "#/components/schemas/Change");
        String sound = "{\"at\":\"2026-11-25T08:00:00Z\",\"what\":\"released\"}";
        assertThat(client.failures(change, sound)).isEmpty();
        for (String wrong : List.of(
                sound.replace("released", "renamed"),
                sound.replace("2026", "twenty"),
                sound.replace("\"at\"", "\"on\""),
                sound.replace("{", "{\"client\":\"x\","))) {
            assertThat(client.failures(change, wrong)).as(wrong).isNotEmpty();
        }
    }

    @Test
    void readsWhatWasReleasedInEveryFormAndFollowsChangesByTheirCursor() throws Exception {
        DescribedClient client = client("results reader", ALL, false);
        Answer start = client.call("listChanges", Map.of(), "");
        assertThat(start.text()).contains("\"day-taken\"", DATE.toString());
        String cursor = drained(client, "0").next();
        Answer list = client.call("listSubmissions", Map.of("day", DATE.toString(), "limit", "1000"), "");
        assertThat((List<?>) list.json().get("submissions"))
                .hasSize(desk.day().submissions().size());
        String submission = releasable();
        assertThat(client.call("getSubmission", Map.of("submission", submission), "")
                        .json()
                        .get("state"))
                .isEqualTo("in-work");
        Answer early = client.call("getResults", Map.of("submission", submission), "");
        assertThat(early.status()).isEqualTo(404);
        assertThat(early.text()).contains("Nothing of this submission was released yet");

        List<ReleasedResult> first = withOneHeld(drafted(submission));
        release(submission, 1, first);
        List<ReleasedResult> second = drafted(submission);
        release(submission, 2, second);

        Drained changes = drained(client, cursor);
        assertThat(changes.all().stream()
                        .filter(one -> submission.equals(one.get("submission")))
                        .map(one -> one.get("what") + " " + one.get("revision")))
                .containsExactly("released 1", "released 2");
        same(client.call("getResults", Map.of("submission", submission, "revision", "1"), ""), first);
        Answer newest = client.call("getResults", Map.of("submission", submission), "");
        same(newest, second);
        assertThat(newest.text()).contains("\"before\": \"not reported\"");
        assertThat(client.call("getResults", Map.of("submission", submission, "revision", "3"), "")
                        .status())
                .isEqualTo(404);
        Answer again =
                client.call("getResults", Map.of("submission", submission, "If-None-Match", newest.header("etag")), "");
        assertThat(again.status()).isEqualTo(304);

        Answer csv = client.call("getResults", Map.of("submission", submission, "Accept", "text/csv"), "");
        assertThat(csv.text().lines()).hasSize(second.size() + 1);
        String workbook = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";
        Answer xlsx = client.call("getResults", Map.of("submission", submission, "Accept", workbook), "");
        assertThat(xlsx.header("etag")).isNotEqualTo(newest.header("etag"));
        assertThat(rows(xlsx.body())).isEqualTo(second.size() + 1);
        open(client, submission, second);
        assertThat(client.call("getResults", Map.of("submission", submission, "Accept", "image/png"), "")
                        .status())
                .isEqualTo(406);
        namesNoControl(client);
    }

    /** Rows of the sheet that has most of them: one for each result and its head. */
    private static int rows(byte[] workbook) throws IOException {
        int most = 0;
        Path file = Files.write(folder.resolve("results.xlsx"), workbook);
        try (ZipFile zip = new ZipFile(file.toFile())) {
            for (ZipEntry entry : Collections.list(zip.entries())) {
                if (entry.getName().startsWith("xl/worksheets/")) {
                    String sheet = new String(zip.getInputStream(entry).readAllBytes(), StandardCharsets.UTF_8);
                    most = Math.max(most, sheet.split("<row ", -1).length - 1);
                }
            }
        }
        return most;
    }

    private record Drained(List<Map<?, ?>> all, String next) {}

    /** Everything after a cursor, two changes at a time. */
    private static Drained drained(DescribedClient client, String after) throws Exception {
        List<Map<?, ?>> all = new ArrayList<>();
        String next = after;
        boolean more = true;
        while (more) {
            Map<?, ?> page = client.call("listChanges", Map.of("after", next, "limit", "2"), "")
                    .json();
            DescribedClient.list(page, "changes").forEach(one -> all.add((Map<?, ?>) one));
            next = String.valueOf(page.get("next"));
            more = Boolean.TRUE.equals(page.get("more"));
        }
        return new Drained(all, next);
    }

    /** Every result of an answer is the one that was released, with its unit, uncertainty and method, or its reason. */
    private static void same(Answer answer, List<ReleasedResult> released) {
        List<String> said = new ArrayList<>();
        for (Object soil : DescribedClient.list(answer.json(), "soils")) {
            Map<?, ?> its = (Map<?, ?>) soil;
            for (Object one : DescribedClient.list(its, "results")) {
                Map<?, ?> result = (Map<?, ?>) one;
                said.add(its.get("lab_number") + " " + result.get("method") + " " + result.get("method_version") + " "
                        + result.get("analyte") + " " + result.get("unit") + " "
                        + (result.get("reported") == null ? "" : result.get("reported")) + " "
                        + (result.get("uncertainty") == null ? "" : result.get("uncertainty")) + " "
                        + (result.get("held_because") == null ? "" : result.get("held_because")));
                if (result.get("number") != null) {
                    assertThat(new BigDecimal(String.valueOf(result.get("reported"))))
                            .isEqualByComparingTo((BigDecimal) result.get("number"));
                }
            }
        }
        assertThat(said)
                .containsExactlyInAnyOrderElementsOf(released.stream()
                        .map(one -> one.labNumber() + " " + one.method() + " " + one.methodVersion() + " "
                                + one.analyte() + " " + one.unit() + " " + one.reported() + " " + one.uncertainty()
                                + " " + one.heldBecause())
                        .toList());
    }

    /** The open form, held against the published schema, which was not made by us. */
    private static void open(DescribedClient client, String submission, List<ReleasedResult> released)
            throws Exception {
        String type = "application/vnd.modus.slim.v1.0+json";
        Answer slim = client.call("getResults", Map.of("submission", submission, "Accept", type), "");
        assertThat(slim.type()).isEqualTo(type);
        try (var schema = SecondProgramDbTest.class.getResourceAsStream("soil-results-slim.schema.json")) {
            String text = new String(schema.readAllBytes(), StandardCharsets.UTF_8);
            assertThat(DescribedClient.failures(text, slim.text())).isEmpty();
            assertThat(DescribedClient.failures(text, slim.text().replace("\"type\": \"soil\"", "\"type\": \"sand\"")))
                    .as("the schema is not empty")
                    .isNotEmpty();
        }
        int results = 0;
        for (Object sample : DescribedClient.map(slim.json(), "samples").values()) {
            results += DescribedClient.map((Map<?, ?>) sample, "results").size();
        }
        assertThat(results).isEqualTo((int)
                released.stream().filter(one -> one.heldBecause().isEmpty()).count());
        assertThat(slim.text()).contains("L_MODV2_SOIL_PH_005", "L_MODV2_SOIL_P_032");
    }

    @Test
    void whatItRegistersWaitsAtTheDockIsLaidOutAndFollowed() throws Exception {
        DescribedClient client = client("field office", ALL, true);
        String body = """
                {"client": "Hollow Lane Farm (invented)", "promised_on": "2026-12-02", "origin": {"country": "IE", "region": "Co. Kildare"},
                 "note": "Keep the rest", "soils": [{"label": "Long Acre", "top_cm": 0, "bottom_cm": 15}, {"label": "Pond field"}]}
                """;
        String cursor = drained(client, "0").next();
        Answer registered = client.call("registerSubmission", Map.of("Idempotency-Key", "box-17"), body);
        assertThat(registered.status()).isEqualTo(201);
        String submission = String.valueOf(registered.json().get("submission"));
        assertThat(registered.header("location")).isEqualTo("/interface/v1/submissions/" + submission);
        Answer again = client.call("registerSubmission", Map.of("Idempotency-Key", "box-17"), body);
        assertThat(again.status()).isEqualTo(201);
        assertThat(again.text()).isEqualTo(registered.text());
        Answer other =
                client.call("registerSubmission", Map.of("Idempotency-Key", "box-17"), body.replace("Pond", "Mill"));
        assertThat(other.status()).isEqualTo(409);
        assertThat(other.text()).contains("key-used", submission);
        Answer otherKey = client.call("registerSubmission", Map.of("Idempotency-Key", "box-18"), body);
        assertThat(otherKey.status()).isEqualTo(409);
        assertThat(otherKey.text()).contains("not-done", submission);
        assertThat(client.call("getSubmission", Map.of("submission", submission), "")
                        .json()
                        .get("state"))
                .isEqualTo("waiting");

        Pages quality = new Pages("invented quality");
        assertThat(quality.get("/intake/" + submission))
                .contains("Hollow Lane Farm (invented)", "Long Acre", "0 to 15 cm", "Pond field", "2026-12-02", "IE");
        bookIn(submission, 2);
        assertThat(quality.post("/intake", "/intake/layout", Map.of())).isEqualTo(303);
        Map<?, ?> now = client.call("getSubmission", Map.of("submission", submission), "")
                .json();
        assertThat(now.get("state")).isEqualTo("in-work");
        assertThat(String.valueOf(now.get("soils"))).isEqualTo("2");
        assertThat(drained(client, cursor).all().stream().map(one -> one.get("what") + " " + one.get("submission")))
                .containsExactly("submission-taken " + submission, "submission-laid-out " + submission);
        namesNoControl(client);
        assertThat(store.verifyJournal().whole()).isTrue();
        assertThat(store.compareWithJournal(says -> {}).differences()).isEmpty();
    }

    @Test
    void aProgramSeesItsOwnAloneAndNoMoreThanItsScopes() throws Exception {
        String theirs = desk.day().submissions().get(0).submission();
        DescribedClient own = client("small office", ALL, true);
        assertThat(own.call("getSubmission", Map.of("submission", theirs), "").status())
                .isEqualTo(404);
        assertThat(own.call("getResults", Map.of("submission", theirs), "").status())
                .isEqualTo(404);
        assertThat(own.call("getSubmission", Map.of("submission", "nothing"), "")
                        .text())
                .isEqualTo(own.call("getSubmission", Map.of("submission", theirs), "")
                        .text());
        assertThat((List<?>) own.call("listSubmissions", Map.of("day", DATE.toString()), "")
                        .json()
                        .get("submissions"))
                .isEmpty();
        assertThat(own.call("listSubmissions", Map.of("day", DATE.toString()), "")
                        .json()
                        .get("next"))
                .as("what is not seen is not counted")
                .isEqualTo("0");
        assertThat(drained(own, "0").all()).isEmpty();
        Map<String, Map<String, String>> calls = Map.of(
                "registerSubmission", Map.of("Idempotency-Key", "k"),
                "listSubmissions", Map.of("day", DATE.toString()),
                "getSubmission", Map.of("submission", theirs),
                "getResults", Map.of("submission", theirs),
                "listChanges", Map.of());
        Map<String, Scope> needs = Map.of(
                "registerSubmission", Scope.REGISTER,
                "listSubmissions", Scope.RESULTS,
                "getSubmission", Scope.RESULTS,
                "getResults", Scope.RESULTS,
                "listChanges", Scope.FEED);
        for (Scope scope : Scope.values()) {
            DescribedClient one = client("with " + scope.word() + " alone", Set.of(scope), false);
            for (Map.Entry<String, Map<String, String>> call : calls.entrySet()) {
                int status = one.call(
                                call.getKey(), call.getValue(), call.getKey().startsWith("register") ? "{}" : "")
                        .status();
                assertThat(status == 403)
                        .as(call.getKey() + " with " + scope)
                        .isEqualTo(needs.get(call.getKey()) != scope);
            }
        }
        DescribedClient nobody = new DescribedClient(server.address(), "tmt-made-up");
        for (Map.Entry<String, Map<String, String>> call : calls.entrySet()) {
            Answer refused =
                    nobody.call(call.getKey(), call.getValue(), call.getKey().startsWith("register") ? "{}" : "");
            assertThat(refused.status()).as(call.getKey()).isEqualTo(401);
            assertThat(refused.header("www-authenticate")).isEqualTo("Bearer");
        }
    }

    @Test
    void everyThingThatDoesNotFitIsToldWithItsPlaceAndNothingIsTaken() throws Exception {
        DescribedClient client = client("careless office", ALL, false);
        int waiting = store.sheets().waiting().size();
        Map<String, String> wrong = Map.ofEntries(
                Map.entry("{", "JSON by RFC 8259"),
                Map.entry("[]", "an object in braces"),
                Map.entry("{}", "/client"),
                Map.entry("{\"client\":\"A\",\"soils\":[]}", "/soils"),
                Map.entry(
                        "{\"client\":\"A\",\"soils\":[{\"label\":\"x\"}],\"promised\":\"2026-12-01\"}", "promised_on"),
                Map.entry("{\"client\":\"A\",\"client\":\"B\",\"soils\":[{\"label\":\"x\"}]}", "JSON by RFC 8259"),
                Map.entry("{\"client\":7,\"soils\":[{\"label\":\"x\"}]}", "/client"),
                Map.entry(
                        "{\"client\":\"A\",\"promised_on\":\"1.12.2026\",\"soils\":[{\"label\":\"x\"}]}",
                        "/promised_on"),
                Map.entry(
                        "{\"client\":\"A\",\"origin\":{\"country\":\"ie\"},\"soils\":[{\"label\":\"x\"}]}",
                        "/origin/country"),
                Map.entry(
                        "{\"client\":\"A\",\"soils\":[{\"label\":\"x\",\"top_cm\":30,\"bottom_cm\":15}]}", "/soils/0"),
                Map.entry(
                        "{\"client\":\"A\",\"soils\":[{\"label\":\"x\",\"top_cm\":1e999999,\"bottom_cm\":15}]}",
                        "/soils/0/top_cm"),
                Map.entry("{\"client\":\"A\",\"soils\":[{\"label\":\"x\\u0000\"}]}", "/soils/0/label"),
                Map.entry("{\"client\":\"A\",\"soils\":" + "[".repeat(100_000), "JSON by RFC 8259"));
        for (Map.Entry<String, String> one : wrong.entrySet()) {
            Answer answer = client.call("registerSubmission", Map.of("Idempotency-Key", "wrong"), one.getKey());
            assertThat(answer.status()).as(one.getKey()).isEqualTo(422);
            assertThat(answer.text()).contains(one.getValue());
        }
        String sound = "{\"client\":\"A (invented)\",\"soils\":[{\"label\":\"x\"}]}";
        assertThat(client.call("registerSubmission", Map.of("Idempotency-Key", "two words"), sound)
                        .status())
                .isEqualTo(400);
        assertThat(client.call("registerSubmission", Map.of("Idempotency-Key", "k", "Content-Type", "text/xml"), sound)
                        .status())
                .isEqualTo(415);
        assertThat(client.call(
                                "registerSubmission",
                                Map.of("Idempotency-Key", "k"),
                                "{\"client\":\"" + "x".repeat(1_000_000) + "\"}")
                        .status())
                .isEqualTo(413);
        assertThat(client.call("listChanges", Map.of("after", "' or 1=1"), "").status())
                .isEqualTo(400);
        assertThat(client.call("listChanges", Map.of("limit", "1001"), "").status())
                .isEqualTo(400);
        assertThat(client.call("getResults", Map.of("submission", "x", "received_on", "2026-02-30"), "")
                        .status())
                .isEqualTo(400);
        assertThat(store.sheets().waiting()).hasSize(waiting);
        HttpResponse<String> nowhere = HttpClient.newHttpClient()
                .send(
                        HttpRequest.newBuilder(server.address().resolve("/interface/v1/lots"))
                                .build(),
                        HttpResponse.BodyHandlers.ofString());
        assertThat(nowhere.statusCode()).isEqualTo(404);
        assertThat(nowhere.headers().firstValue("Content-Type").orElse("")).startsWith("application/problem+json");
    }

    /** The box comes, its bags are ticked and counted, and somebody who knows the field decides on its origin. */
    private static void bookIn(String submission, int bags) throws Exception {
        Pages dock = new Pages("invented client service");
        String page = "/dock/" + submission;
        String count = Integer.toString(bags);
        dock.post(page, "/dock/act", Map.of("submission", submission, "what", "box", "about", "BX 1", "says", "sound"));
        dock.post(page, "/dock/rest", Map.of("submission", submission));
        dock.post(page, "/dock/act", Map.of("submission", submission, "what", "counted", "number", count));
        Matcher unclear = Pattern.compile("name=\"about\" value=\"(origin-unclear[^\"]*)\"")
                .matcher(dock.get(page));
        if (unclear.find()) {
            Map<String, String> decided = Map.of(
                    "submission",
                    submission,
                    "what",
                    "decided",
                    "about",
                    unclear.group(1),
                    "says",
                    "not-regulated",
                    "reason",
                    "the field is known");
            assertThat(dock.post(page, "/dock/act", decided)).isEqualTo(303);
        }
        Map<String, String> booked =
                Map.of("submission", submission, "what", "booked", "number", count, "says", "ordinary");
        assertThat(dock.post(page, "/dock/act", booked)).isEqualTo(303);
    }

    /** No answer so far names a lab number of a hidden control. */
    private static void namesNoControl(DescribedClient client) {
        Set<String> controls = new HashSet<>();
        store.days()
                .forEach(day -> store.quality()
                        .controls(day.name())
                        .keySet()
                        .forEach(labNumber -> controls.add(labNumber.text())));
        assertThat(controls).isNotEmpty();
        assertThat(client.bodies()).isNotEmpty();
        for (String body : client.bodies()) {
            assertThat(controls).noneMatch(body::contains);
            assertThat(body).doesNotContain("control soil of", "hidden");
        }
    }

    /** The pages, for somebody who signed in by a link. */
    private static final class Pages {
        private final HttpClient http =
                HttpClient.newBuilder().cookieHandler(new CookieManager()).build();

        Pages(String name) throws Exception {
            URI link = server.oneTimeLink(name, Duration.ofMinutes(5));
            send(HttpRequest.newBuilder(link)
                    .POST(HttpRequest.BodyPublishers.ofString("csrf=" + csrf(link.getPath()))));
        }

        private String csrf(String path) throws Exception {
            Matcher found = Pattern.compile("name=\"csrf\" value=\"([^\"]+)\"").matcher(get(path));
            assertThat(found.find()).isTrue();
            return found.group(1);
        }

        String get(String path) throws Exception {
            return send(HttpRequest.newBuilder(server.address().resolve(path))).body();
        }

        int post(String from, String path, Map<String, String> form) throws Exception {
            StringBuilder body = new StringBuilder("csrf=" + csrf(from));
            form.forEach((name, value) ->
                    body.append('&').append(name).append('=').append(URLEncoder.encode(value, StandardCharsets.UTF_8)));
            return send(HttpRequest.newBuilder(server.address().resolve(path))
                            .POST(HttpRequest.BodyPublishers.ofString(body.toString())))
                    .statusCode();
        }

        private HttpResponse<String> send(HttpRequest.Builder request) throws Exception {
            return http.send(
                    request.header("Content-Type", "application/x-www-form-urlencoded")
                            .build(),
                    HttpResponse.BodyHandlers.ofString());
        }
    }
}
