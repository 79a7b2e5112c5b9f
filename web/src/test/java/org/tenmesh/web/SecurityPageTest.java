package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.Socket;
import java.net.URI;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.jsoup.Jsoup;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Isolated;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeSoil;
import org.tenmesh.core.made.MadeSubmission;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.http.Route;

/** What an attacker tries at the pages; the table in docs/validation/security.md says what else is tried and where. */
@Isolated("many sign in at once, and only so many passwords are computed at a time")
class SecurityPageTest {
    private static final String FORMULA = "=HYPERLINK(\"http://x\")";
    private static final String FORM = "application/x-www-form-urlencoded";

    private Ashgrove ashgrove;

    @BeforeEach
    void open() {
        ashgrove = Ashgrove.open(60);
    }

    @AfterEach
    void close() {
        ashgrove.close();
    }

    private URI at(String path) {
        return ashgrove.server().address().resolve(path);
    }

    /** A route that stands in no table would be asked by no test: there is none. */
    @Test
    void nothingIsAnsweredBesideTheTables() {
        Set<String> tables = new TreeSet<>(Set.of("GET /assets/{name}", "GET /favicon.ico"));
        for (Route route : ashgrove.server().routes()) {
            tables.add(route.verb() + " " + route.path());
            if (route.isOfADay()) {
                tables.add(route.verb() + " /days/{day}" + route.path());
            }
        }
        tables.addAll(ashgrove.server().interfaceTable().keySet());
        List<String> answered = ashgrove.server().answered().stream()
                .filter(one -> !one.startsWith("BEFORE") && !one.startsWith("AFTER"))
                .toList();
        assertThat(new TreeSet<>(answered)).isEqualTo(tables);
        assertThat(ashgrove.server().routes())
                .allSatisfy(route -> assertThat(Places.one(route, ashgrove))
                        .as(route.path() + ": Places fills its parts")
                        .doesNotContain("{"));
    }

    @Test
    void theJournalTellsOnceOfEachThingThatARoleAskedForAndMayNot() {
        for (PersonRole role : PersonRole.values()) {
            Browser browser = ashgrove.as(role);
            Set<String> refused = new TreeSet<>();
            for (Route route : ashgrove.server().routes()) {
                if (!route.open() && !route.roles().contains(role) && route.verb() == Route.Verb.GET) {
                    String path = Places.one(route, ashgrove);
                    assertThat(browser.get(path).statusCode()).as(path).isEqualTo(404);
                    browser.get(path);
                    refused.add("GET " + route.path());
                }
            }
            List<String> told = ashgrove.book().journal(1000).stream()
                    .filter(one -> one.what().equals("access-refused"))
                    .filter(one -> one.actor().equals(Ashgrove.name(role)))
                    .map(one -> one.subject())
                    .toList();
            assertThat(told).as(role.phrase()).containsExactlyInAnyOrderElementsOf(refused);
        }
    }

    private HttpResponse<byte[]> send(Browser browser, String path, String csrf, Map<String, String> headers) {
        HttpRequest.Builder request = HttpRequest.newBuilder(at(path))
                .header("Content-Type", FORM)
                .POST(HttpRequest.BodyPublishers.ofString("csrf=" + csrf));
        headers.forEach(request::header);
        return browser.send(request.build());
    }

    @Test
    void noFormFromAnotherSiteDoesAnythingEvenWithTheRightToken() {
        String own = ashgrove.server().address().toString().replaceAll("/$", "");
        List<Map<String, String>> foreign = List.of(
                Map.of("Origin", "https://elsewhere.example"),
                Map.of("Origin", "null"),
                Map.of("Origin", own.replace("127.0.0.1", "127.0.0.1.elsewhere.example")),
                Map.of("Origin", "not an origin"),
                Map.of("Sec-Fetch-Site", "cross-site"),
                Map.of("Sec-Fetch-Site", "same-site"),
                Map.of("Sec-Fetch-Site", "cross-site", "Origin", own));
        for (PersonRole role : PersonRole.values()) {
            Browser browser = ashgrove.as(role);
            String csrf =
                    browser.page("/methods").expectFirst("input[name=csrf]").val();
            int before = ashgrove.book().journal(1000).size();
            for (Route route : ashgrove.server().routes()) {
                if (route.verb() == Route.Verb.POST && route.roles().contains(role)) {
                    for (Map<String, String> headers : foreign) {
                        assertThat(send(browser, Places.one(route, ashgrove), csrf, headers)
                                        .statusCode())
                                .as("%s as %s with %s", route.path(), role, headers)
                                .isEqualTo(403);
                    }
                }
            }
            assertThat(ashgrove.book().journal(1000)).hasSize(before);
        }
        Browser browser = ashgrove.as(PersonRole.IN_CHARGE);
        String csrf = browser.page("/methods").expectFirst("input[name=csrf]").val();
        for (Map<String, String> ours :
                List.of(Map.of("Origin", own), Map.of("Sec-Fetch-Site", "same-origin"), Map.<String, String>of())) {
            assertThat(send(browser, "/programs", csrf, ours).statusCode())
                    .as("a form of ours, which lacks its fields")
                    .isEqualTo(400);
        }
    }

    @Test
    void aSessionThatSomebodyElseChoseIsNeverTheOneThatIsSignedIn() throws Exception {
        String chosen = "a-session-that-the-attacker-chose";
        HttpClient client = HttpClient.newHttpClient();
        String page = client.send(
                        HttpRequest.newBuilder(at("/sign-in"))
                                .header("Cookie", "tenmesh-session=" + chosen + "; tenmesh-visitor=known")
                                .build(),
                        HttpResponse.BodyHandlers.ofString())
                .body();
        String csrf = Jsoup.parse(page).expectFirst("input[name=csrf]").val();
        HttpResponse<String> signedIn = client.send(
                HttpRequest.newBuilder(at("/sign-in"))
                        .header("Cookie", "tenmesh-session=" + chosen + "; tenmesh-visitor=known")
                        .header("Content-Type", FORM)
                        .POST(HttpRequest.BodyPublishers.ofString("csrf=" + csrf + "&name=invented+quality&password="
                                + Ashgrove.PASSWORD.replace(' ', '+')))
                        .build(),
                HttpResponse.BodyHandlers.ofString());
        assertThat(signedIn.statusCode()).isEqualTo(303);
        String cookie = String.join("\n", signedIn.headers().allValues("Set-Cookie"));
        assertThat(cookie).contains("tenmesh-session=").doesNotContain(chosen);
        assertThat(client.send(
                                HttpRequest.newBuilder(at("/controls"))
                                        .header("Cookie", "tenmesh-session=" + chosen)
                                        .build(),
                                HttpResponse.BodyHandlers.ofString())
                        .statusCode())
                .isEqualTo(302);
    }

    @Test
    void noPathLeadsOutOfTheProgram() throws Exception {
        Browser browser = ashgrove.as(PersonRole.QUALITY);
        List<String> tries = List.of(
                "/assets/../../../../etc/passwd",
                "/assets/..%2f..%2f..%2fetc%2fpasswd",
                "/assets/%2e%2e/%2e%2e/etc/passwd",
                "/assets/..%5c..%5cwindows%5cwin.ini",
                "/assets/..;/..;/etc/passwd",
                "/assets//etc/passwd",
                "/assets/%00",
                "/runs/..%2f..%2fetc%2fpasswd",
                "/reports/..%2f..%2fetc/1/csv",
                "/days/..%2f..%2fetc/today",
                "/interface/v1/../../today",
                "/interface/v1/submissions/..%2f..%2fetc%2fpasswd/results",
                "/send/..%2f..%2fetc%2fpasswd");
        for (String one : tries) {
            // As it stands: a client of the library would take the dots away.
            String answer = raw("GET " + one + " HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n");
            assertThat(answer)
                    .as(one)
                    .matches("(?s)HTTP/1\\.1 (30[2378]|400|401|404) .*")
                    .doesNotContain("root:", "[fonts]");
        }
        assertThat(browser.get("/methods/..%2fph-water-1-1").statusCode()).isIn(400, 404);
    }

    private String raw(String request) throws IOException {
        URI address = ashgrove.server().address();
        try (Socket socket = new Socket(address.getHost(), address.getPort())) {
            socket.setSoTimeout(20_000);
            socket.getOutputStream().write(request.getBytes(StandardCharsets.ISO_8859_1));
            socket.getOutputStream().flush();
            return new String(socket.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        }
    }

    @Test
    void aBodyThatIsTooLargeIsRefusedAtEveryFormWithoutAFault() {
        Browser browser = ashgrove.as(PersonRole.QUALITY);
        String csrf = browser.page("/methods").expectFirst("input[name=csrf]").val();
        String large = "csrf=" + csrf + "&reason=" + "x".repeat(3_500_000);
        int before = ashgrove.book().journal(1000).size();
        for (Route route : ashgrove.server().routes()) {
            if (route.verb() == Route.Verb.POST) {
                for (HttpRequest.BodyPublisher body : List.of(
                        HttpRequest.BodyPublishers.ofString(large),
                        // Without a length said before.
                        HttpRequest.BodyPublishers.ofInputStream(
                                () -> new java.io.ByteArrayInputStream(large.getBytes(StandardCharsets.US_ASCII))))) {
                    int status;
                    try {
                        status = browser.send(HttpRequest.newBuilder(at(Places.one(route, ashgrove)))
                                        .header("Content-Type", FORM)
                                        .POST(body)
                                        .build())
                                .statusCode();
                    } catch (java.io.UncheckedIOException closed) {
                        // The server may close while we still send.
                        continue;
                    }
                    assertThat(status).as(route.path()).isIn(400, 403, 404, 413);
                }
            }
        }
        assertThat(ashgrove.book().journal(1000).stream()
                        .filter(one -> !one.what().equals("access-refused")))
                .hasSize(before);
    }

    /** Four hundred who begin a form and do not go on, from one address: pages and the forms of other addresses are answered. */
    @Test
    void whoSendsSlowlyKeepsOnlyThemselvesWaiting() throws Exception {
        Browser browser = ashgrove.as(PersonRole.IN_CHARGE);
        URI address = ashgrove.server().address();
        List<Socket> slow = new ArrayList<>();
        try {
            for (int i = 0; i < 400; i++) {
                Socket socket = new Socket(address.getHost(), address.getPort());
                socket.getOutputStream()
                        .write(("POST /sign-in HTTP/1.1\r\nHost: x\r\nContent-Type: " + FORM
                                        + "\r\nContent-Length: 900\r\n\r\nname=")
                                .getBytes(StandardCharsets.US_ASCII));
                socket.getOutputStream().flush();
                slow.add(socket);
            }
            long start = System.nanoTime();
            assertThat(browser.get("/today").statusCode()).isEqualTo(200);
            double firstS = (System.nanoTime() - start) / 1e9;
            Thread.sleep(3_000);
            start = System.nanoTime();
            assertThat(browser.get("/today").statusCode()).isEqualTo(200);
            double laterS = (System.nanoTime() - start) / 1e9;
            // Generous, because the machine has other work: without the bound a page waits for as long as they do.
            assertThat(firstS).as("s for a page at once").isLessThan(15);
            assertThat(laterS)
                    .as("s for a page after the others were told to wait")
                    .isLessThan(5);
            System.out.printf("400 slow forms: a page took %.2f s at once and %.2f s after 3 s%n", firstS, laterS);
        } finally {
            for (Socket socket : slow) {
                socket.close();
            }
        }
    }

    /** Cells that a spreadsheet would take for formulas, in every table that any page gives as a file. */
    @Test
    void noFileOfAPageHoldsAFormula() {
        InventedDay plain = InventedDay.of(60, Ashgrove.METHODS);
        InventedDay hostile = new InventedDay(
                MadeDay.like(plain.day())
                        .submissions(plain.day().submissions().stream()
                                .map(one -> MadeSubmission.like(one)
                                        .client(FORMULA)
                                        .note("@SUM(1)")
                                        .submission())
                                .toList())
                        .soils(plain.day().soils().stream()
                                .map(one -> one.clientLabel().isEmpty()
                                        ? one
                                        : MadeSoil.like(one).labelled(FORMULA).soil())
                                .toList())
                        .day(),
                plain.judged());
        int files = 0;
        int disarmed = 0;
        try (Ashgrove other = Ashgrove.open(hostile)) {
            for (PersonRole role : List.of(PersonRole.QUALITY, PersonRole.CLIENT_SERVICE)) {
                Browser browser = other.as(role);
                for (Route route : other.server().routes()) {
                    if (route.verb() != Route.Verb.GET || !route.roles().contains(role)) {
                        continue;
                    }
                    String path = Places.one(route, other);
                    String join = path.contains("?") ? "&" : "?";
                    for (int table = 1; table <= 6; table++) {
                        HttpResponse<byte[]> file = browser.get(path + join + "file=csv&table=" + table);
                        if (!file.headers()
                                .firstValue("Content-Type")
                                .orElse("")
                                .startsWith("text/csv")) {
                            break;
                        }
                        files++;
                        for (String cell : cells(Browser.text(file))) {
                            assertThat(cell).as(path).matches("(?s)([^=+\\-@\\t\\r\\n].*)?|-?\\d+(\\.\\d+)?");
                            disarmed += cell.startsWith("'=") ? 1 : 0;
                        }
                    }
                }
            }
        }
        assertThat(files).isGreaterThan(10);
        assertThat(disarmed).as("the day is hostile").isPositive();
    }

    private static List<String> cells(String csv) {
        List<String> cells = new ArrayList<>();
        StringBuilder cell = new StringBuilder();
        boolean quoted = false;
        for (int i = 0; i < csv.length(); i++) {
            char c = csv.charAt(i);
            if (c == '"') {
                if (quoted && i + 1 < csv.length() && csv.charAt(i + 1) == '"') {
                    cell.append(c);
                    i++;
                } else {
                    quoted = !quoted;
                }
            } else if (!quoted && (c == ',' || c == '\n')) {
                cells.add(cell.toString());
                cell.setLength(0);
            } else if (quoted || c != '\r') {
                cell.append(c);
            }
        }
        return cells;
    }

    @Test
    void aGuessedTokenOpensNoEndpointAndNoCookieDoes() {
        Browser signedIn = ashgrove.as(PersonRole.IN_CHARGE);
        Map<String, String> table = new LinkedHashMap<>(ashgrove.server().interfaceTable());
        table.forEach((route, scope) -> {
            String[] words = route.split(" ", 2);
            String path = words[1].replaceAll("\\{[a-z]+}", "SUB-2201");
            for (String authorization :
                    List.of("", "Bearer ", "Bearer tmt-guessed", "Basic eDp5", "Bearer " + "x".repeat(5_000))) {
                HttpRequest.Builder request = HttpRequest.newBuilder(at(path))
                        .method(words[0], HttpRequest.BodyPublishers.ofString(words[0].equals("POST") ? "{}" : ""));
                if (!authorization.isEmpty()) {
                    request.header("Authorization", authorization);
                }
                assertThat(signedIn.send(request.build()).statusCode())
                        .as(route + " with " + authorization)
                        .isEqualTo(scope.isEmpty() ? 200 : 401);
            }
        });
        assertThat(table.values()).contains("register", "results", "feed");
    }
}
