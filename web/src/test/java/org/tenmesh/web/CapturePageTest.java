package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.Socket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.jsoup.nodes.Document;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.capture.Capture;
import org.tenmesh.capture.pieces.Piece;
import org.tenmesh.capture.settings.CaptureFile;
import org.tenmesh.capture.settings.CaptureSettings;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.programs.Scope;
import org.tenmesh.web.http.Passwords;

class CapturePageTest {
    private static final String TOKEN = "an invented token";
    private static final String HEAD = "Pos,Label,Dilution,Taken,P 213.618 (counts/s)\n";
    private static final String EXPORT = HEAD + "1,26329-0001,,2026-11-25 09:01:00,12.5\n";

    @TempDir
    private Path folder;

    private final MemoryInbox inbox = new MemoryInbox();
    private MemoryStore book = new MemoryStore();
    private Optional<Capture> capture = Optional.empty();
    private Optional<Server> server = Optional.empty();

    @BeforeEach
    void open() throws IOException {
        Files.createDirectories(folder.resolve("drop"));
        Path file = Files.writeString(
                folder.resolve("capture.yaml"), """
                free_megabytes: 1
                sources:
                  - {name: sent, kind: http, token_sha256: %s, most_kilobytes: 1, instrument: ICP1, method: mehlich3-icp, reader: own.yaml}
                  - {name: sent-too, kind: http, most_kilobytes: 1, instrument: ICP3, method: mehlich3-icp, reader: own.yaml}
                  - {name: titration, kind: hand, instrument: T1, method: oc-wet-oxidation, twice: true, asked: [{quantity: titre, unit: mL}]}
                  - {name: drop, kind: folder, folder: gone, instrument: ICP2, method: mehlich3-icp, reader: plasma-wide-table}
                """.formatted(Piece.sha256(TOKEN.getBytes(StandardCharsets.UTF_8))));
        reader("comma");
        start(file);
    }

    private void reader(String decimal) throws IOException {
        Files.writeString(folder.resolve("own.yaml"), """
                name: own
                title: own
                form: delimited
                decimal: %s
                position: "{Pos}"
                identity: "{Label}"
                time: "{Taken}"
                time_format: "uuuu-MM-dd HH:mm:ss"
                values:
                  - {column: "P 213.618 (counts/s)", quantity: "P 213.618", unit: "/s"}
                """.formatted(decimal));
    }

    private void start(Path file) {
        CaptureSettings settings = CaptureFile.read(file, Ashgrove.METHODS.ids()::contains);
        assertThat(settings.problems()).isEmpty();
        Capture its = Capture.start(settings, inbox, Ashgrove.CLOCK, ZoneOffset.UTC, List.of());
        capture = Optional.of(its);
        book = new MemoryStore();
        InventedDay invented = InventedDay.of(12, Ashgrove.METHODS);
        book.take(invented.day());
        String hash = Passwords.hash(Ashgrove.PASSWORD);
        for (PersonRole role : PersonRole.values()) {
            book.add(new Person(Ashgrove.name(role), role, hash), "test");
        }
        server = Optional.of(Server.start(
                ServerSettings.local(0),
                book,
                Ashgrove.METHODS,
                Ashgrove.CLOCK,
                Ashgrove.judge(invented),
                Optional.of(its),
                Optional.empty()));
    }

    @AfterEach
    void close() {
        server.ifPresent(Server::close);
        capture.ifPresent(Capture::close);
    }

    private Browser as(PersonRole role) {
        return new Browser(server.orElseThrow().address()).signedIn(Ashgrove.name(role), Ashgrove.PASSWORD);
    }

    private HttpResponse<String> send(String source, String token, String key, String body) throws Exception {
        HttpRequest.Builder request = HttpRequest.newBuilder(
                        URI.create(server.orElseThrow().address() + "send/" + source + "?name=M3-01.csv"))
                .POST(HttpRequest.BodyPublishers.ofString(body));
        if (!token.isEmpty()) {
            request.header("Authorization", "Bearer " + token);
        }
        if (!key.isEmpty()) {
            request.header("Idempotency-Key", key);
        }
        return HttpClient.newHttpClient().send(request.build(), HttpResponse.BodyHandlers.ofString());
    }

    /** The form of what is wrong: RFC 9457. */
    private static void isProblem(HttpResponse<String> answer, int status, String says) {
        assertThat(answer.statusCode()).as(answer.body()).isEqualTo(status);
        assertThat(answer.headers().firstValue("Content-Type").orElse("")).startsWith("application/problem+json");
        assertThat(answer.body()).contains("\"status\":" + status, says);
    }

    @Test
    void takesWhatIsSentOnceAndAnswersWhenItIsDurable() throws Exception {
        reader("point");
        close();
        start(folder.resolve("capture.yaml"));
        HttpResponse<String> first = send("sent", TOKEN, "1", EXPORT);
        assertThat(first.statusCode()).as(first.body()).isEqualTo(201);
        assertThat(first.body()).contains("\"became\":\"taken\"", "\"readings\":1");
        assertThat(send("sent", TOKEN, "1", EXPORT).statusCode()).isEqualTo(200);
        assertThat(inbox.pieces()).hasSize(1);
        assertThat(inbox.pieces().get(0).name()).isEqualTo("M3-01.csv");
        isProblem(send("sent", TOKEN, "1", EXPORT + "\n"), 409, "with other bytes");
        isProblem(send("sent", TOKEN, "", EXPORT), 400, "Idempotency-Key");
        isProblem(send("sent", TOKEN, "2", ""), 400, "empty");
        isProblem(send("sent", TOKEN, "2", "x".repeat(1_001)), 413, "At most 1000 bytes");
        isProblem(send("sent", "another token", "2", EXPORT), 401, "not that of this source");
        isProblem(send("sent", "", "2", EXPORT), 401, "not that of this source");
        isProblem(send("titration", TOKEN, "2", EXPORT), 401, "not that of this source");
        isProblem(send("nothing", TOKEN, "2", EXPORT), 401, "not that of this source");
        assertThat(inbox.pieces()).hasSize(1);
    }

    @Test
    void whatIsSetAsideIsShownAsItCameAndTakenWhenItsReaderWasCorrected() throws Exception {
        isProblem(send("sent", TOKEN, "1", EXPORT), 422, "It is kept and nothing of it was taken");
        isProblem(send("sent", TOKEN, "1", EXPORT), 422, "It is kept and nothing of it was taken");
        Browser inCharge = as(PersonRole.IN_CHARGE);
        Document list = inCharge.page("/capture?source=sent");
        assertThat(list.text()).contains("set aside", "expected a number with , as the decimal mark");
        String href = list.expectFirst("a:containsOwn(M3-01.csv)").attr("href");
        assertThat(inCharge.page(href).select("pre").text()).contains("26329-0001");
        assertThat(as(PersonRole.AUDITOR).page(href).select("form[action=/capture/again]"))
                .isEmpty();
        Map<String, String> again = Map.of("source", "sent", "key", "1");
        assertThat(Browser.text(inCharge.submit(href, "/capture/again", again))).contains("set aside still");
        reader("point");
        close();
        start(folder.resolve("capture.yaml"));
        Browser later = as(PersonRole.QUALITY);
        assertThat(later.submit(href, "/capture/again", again).statusCode()).isEqualTo(303);
        Piece taken = inbox.pieces().get(1);
        assertThat(taken.readings()).isEqualTo(1);
        assertThat(taken.actor()).isEqualTo(Ashgrove.name(PersonRole.QUALITY));
        assertThat(taken.key()).isEqualTo("1 again 2");
    }

    @Test
    void anExportDroppedOnThePageIsTakenOnceByThePersonWhoDroppedIt() throws Exception {
        reader("point");
        close();
        start(folder.resolve("capture.yaml"));
        Browser inCharge = as(PersonRole.IN_CHARGE);
        Map<String, String> form = Map.of("source", "sent");
        String from = "/capture?source=sent";
        assertThat(as(PersonRole.AUDITOR).page(from).select("input[type=file]")).isEmpty();
        assertThat(inCharge.page("/capture?source=titration").select("input[type=file]"))
                .isEmpty();
        assertThat(inCharge.drop(from, "/capture/drop", form, "export", "M3-01.csv", EXPORT)
                        .statusCode())
                .isEqualTo(303);
        Piece taken = inbox.pieces().get(0);
        assertThat(taken.readings()).isEqualTo(1);
        assertThat(taken.actor()).isEqualTo(Ashgrove.name(PersonRole.IN_CHARGE));
        assertThat(new String(taken.bytes(), StandardCharsets.UTF_8)).isEqualTo(EXPORT);
        assertThat(Browser.text(inCharge.drop(from, "/capture/drop", form, "export", "copy of M3-01.csv", EXPORT)))
                .contains("copy of M3-01.csv was taken before. Nothing was taken a second time.");
        assertThat(inbox.pieces()).hasSize(1);
        assertThat(Browser.text(inCharge.drop(from, "/capture/drop", form, "export", "empty.csv", "")))
                .contains("choose the instrument&#39;s export first".replace("&#39;", "'"));
        String bad = HEAD + "1,26329-0001,,2026-11-25 09:01:00,a lot\n";
        assertThat(Browser.text(inCharge.drop(from, "/capture/drop", form, "export", "bad.csv", bad)))
                .contains("bad.csv is kept and set aside");
        inbox.gone(true);
        assertThat(inCharge.drop("/methods", "/capture/drop", form, "export", "M3-02.csv", EXPORT + "\n")
                        .statusCode())
                .isEqualTo(503);
    }

    @Test
    void typesARunPositionByPositionTwice() {
        inbox.order(new RunOrder(
                "OC-01",
                "oc-wet-oxidation",
                "T1",
                OffsetDateTime.parse("2026-11-25T07:00:00Z"),
                List.of(
                        new RunOrder.Place(1, Role.BLANK, "BLANK 1"),
                        new RunOrder.Place(2, Role.SAMPLE, "26329-0001-5"))));
        Browser bench = as(PersonRole.BENCH);
        Document form = bench.page("/by-hand?source=titration");
        assertThat(form.text()).contains("position 1 of 2", "Run OC-01: blank BLANK 1", "Titre, mL, once more");
        Map<String, String> typed = new HashMap<>(
                Map.of("source", "titration", "run", "OC-01", "position", "1", "value-0", "12.4", "again-0", "12.5"));
        assertThat(Browser.text(bench.submit("/by-hand?source=titration", "/by-hand", typed)))
                .contains("titre was typed as 12.4 and then as 12.5");
        assertThat(inbox.pieces()).isEmpty();
        typed.put("again-0", "12.4");
        inbox.gone(true);
        assertThat(bench.submit("/methods", "/by-hand", typed).statusCode()).isEqualTo(503);
        inbox.gone(false);
        assertThat(bench.submit("/by-hand?source=titration", "/by-hand", typed).statusCode())
                .isEqualTo(303);
        assertThat(bench.submit("/by-hand?source=titration", "/by-hand", typed).statusCode())
                .isEqualTo(409);
        assertThat(bench.page("/by-hand?source=titration").text()).contains("position 2 of 2", "26329-0001-5");
        typed.put("position", "2");
        bench.submit("/by-hand?source=titration", "/by-hand", typed);
        assertThat(inbox.pieces()).hasSize(2);
        assertThat(inbox.run("T1", "OC-01", OffsetDateTime.parse("2026-11-25T07:00:00Z"))
                        .orElseThrow()
                        .ended())
                .isTrue();
        assertThat(inbox.pieces().get(0).actor()).isEqualTo(Ashgrove.name(PersonRole.BENCH));
    }

    @Test
    void saysOnTodayInOneLineWhatIsWrong() throws Exception {
        for (int i = 0; i < 100 && capture.orElseThrow().wrong().isEmpty(); i++) {
            Thread.sleep(20);
        }
        Document today = as(PersonRole.IN_CHARGE).page("/today");
        assertThat(today.select("a[href=/capture]").parents().text()).contains("Drop: the folder");
        assertThat(as(PersonRole.AUDITOR).page("/capture").text()).contains("is not there; it is tried again");
        assertThat(as(PersonRole.BENCH).get("/capture").statusCode()).isEqualTo(404);
    }

    @Test
    void takesATokenOfTheLaboratoryWithTheScopeCaptureUntilItIsWithdrawn() throws Exception {
        reader("point");
        close();
        start(folder.resolve("capture.yaml"));
        String may = book.programs()
                .make("plasma bridge", Set.of(Scope.CAPTURE), true, Instant.parse("2027-01-01T00:00:00Z"), "test");
        String mayNot = book.programs()
                .make("field office", Set.of(Scope.FEED), true, Instant.parse("2027-01-01T00:00:00Z"), "test");
        assertThat(send("sent-too", may, "1", EXPORT).statusCode()).isEqualTo(201);
        assertThat(send("sent", may, "3", EXPORT).statusCode()).isEqualTo(201);
        isProblem(send("sent-too", mayNot, "2", EXPORT), 401, "not that of this source");
        isProblem(send("sent-too", TOKEN, "2", EXPORT), 401, "not that of this source");
        book.programs().withdraw(1, "bridge replaced", "test");
        isProblem(send("sent-too", may, "1", EXPORT), 401, "not that of this source");
    }

    /** Somebody who sends a byte now and then keeps two of the server's threads at most. */
    @Test
    void boundsSlowSenders() throws Exception {
        URI address = server.orElseThrow().address();
        Socket[] slow = {slow(address), slow(address)};
        try {
            HttpResponse<String> answer = send("sent", TOKEN, "9", EXPORT);
            for (int i = 0; i < 1000 && answer.statusCode() != 503; i++) {
                for (int n = 0; n < slow.length; n++) {
                    // One that came while a whole one was being taken is answered at once; another takes its place.
                    if (slow[n].getInputStream().available() > 0) {
                        slow[n].close();
                        slow[n] = slow(address);
                    }
                }
                Thread.sleep(20);
                answer = send("sent", TOKEN, "9", EXPORT);
            }
            isProblem(answer, 503, "several things at once");
            assertThat(answer.headers().firstValue("Retry-After")).contains("10");
        } finally {
            for (Socket socket : slow) {
                socket.close();
            }
        }
    }

    private static Socket slow(URI address) throws IOException {
        Socket socket = new Socket(address.getHost(), address.getPort());
        socket.getOutputStream()
                .write(("POST /send/sent HTTP/1.1\r\nHost: x\r\nAuthorization: Bearer " + TOKEN
                                + "\r\nIdempotency-Key: 7\r\nContent-Length: 900\r\n\r\nPos")
                        .getBytes(StandardCharsets.US_ASCII));
        socket.getOutputStream().flush();
        return socket;
    }
}
