package org.tenmesh.app.laboratory;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.net.URLEncoder;
import java.net.http.HttpClient;
import java.net.http.HttpRequest;
import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.CompletableFuture;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.zip.ZipEntry;
import java.util.zip.ZipOutputStream;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.store.Store;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.programs.Scope;
import org.tenmesh.web.Server;
import org.tenmesh.web.ServerSettings;
import org.tenmesh.web.days.SheetReader;

/** Attacks that need a real database or the readers of worksheets; docs/validation/security.md says what is tried where. */
final class SecurityDbTest {
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    private static final List<String> HOSTILE = List.of(
            "'; drop table journal.entry cascade; --",
            "\" or \"1\"=\"1",
            "1); delete from people.person; --",
            "${7*7}<script>alert(1)</script>\u202e\\",
            "%27%20or%201=1" + "x".repeat(1_880));
    private static final Pattern FORM = Pattern.compile("(?s)<form\\b([^>]*)>(.*?)</form>");
    private static final Pattern FIELD = Pattern.compile("(?s)<(input|select|textarea)\\b([^>]*)>");
    private static final Pattern LINK = Pattern.compile("href=\"(/[^\"#]*)");

    @TempDir
    @SuppressWarnings("NullAway.Init")
    private static Path folder;

    @SuppressWarnings("NullAway.Init")
    private static Store store;

    @SuppressWarnings("NullAway.Init")
    private static Server server;

    @BeforeAll
    static void open() {
        store = EmptyStore.open(folder);
        Day day = Simulator.simulate(Scenario.of(41, 24, DATE)).day();
        store.take(day, DATE, "0".repeat(64), "test");
        for (PersonRole role : PersonRole.values()) {
            store.people().add(new Person(name(role), role, ""), "test");
        }
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

    /** The pages that a role reaches by links, one of each kind, at most so many. */
    private static List<String> pages(SignedIn attacker) throws Exception {
        List<String> pages = new ArrayList<>();
        Set<String> kinds = new HashSet<>();
        List<String> next = new ArrayList<>(List.of("/"));
        while (!next.isEmpty() && pages.size() < 60) {
            String page = next.remove(0);
            HttpResponse<String> answer = attacker.get(page);
            pages.add(page);
            Matcher link = LINK.matcher(answer.body());
            while (link.find()) {
                String href = link.group(1).replace("&amp;", "&");
                // One soil stands for all: digits and names after the second slash are left out.
                String kind = href.replaceAll("^/days/[^/]+", "")
                        .replaceAll("^(/[a-z-]+)/[^/?]+", "$1/*")
                        .replaceAll("=[^&]*", "=");
                if (!href.startsWith("/assets") && !href.contains("file=") && kinds.add(kind)) {
                    next.add(href);
                }
            }
        }
        return pages;
    }

    @Test
    void noFieldOfAnyFormReachesTheDatabaseAsAnythingButText() throws Exception {
        Set<String> tried = new TreeSet<>();
        int sent = 0;
        for (PersonRole role : PersonRole.values()) {
            SignedIn attacker = new SignedIn(server, name(role));
            Set<String> forms = new HashSet<>();
            for (String page : pages(attacker)) {
                String html = attacker.get(page).body();
                Matcher form = FORM.matcher(html);
                while (form.find()) {
                    String action = SignedIn.attribute(form.group(1), "action");
                    boolean get = !SignedIn.attribute(form.group(1), "method").equalsIgnoreCase("post");
                    Map<String, String> fields = fields(form.group(2));
                    if (action.isEmpty()
                            || action.equals("/sign-out")
                            || action.startsWith("/bench-lock")
                            || !forms.add(action.replaceAll("^/days/[^/]+", "") + fields.keySet())) {
                        continue;
                    }
                    for (String field : fields.keySet()) {
                        if (field.equals("csrf")) {
                            continue;
                        }
                        tried.add(action.replaceAll("^/days/[^/]+", "") + " " + field);
                        for (String hostile : List.of(HOSTILE.get(0), HOSTILE.get(3), HOSTILE.get(4))) {
                            Map<String, String> whole = new LinkedHashMap<>(fields);
                            whole.put(field, hostile);
                            HttpResponse<String> answer = get
                                    ? attacker.get(action + "?" + field + "="
                                            + URLEncoder.encode(hostile, StandardCharsets.UTF_8))
                                    : attacker.post(action, whole);
                            sent++;
                            assertThat(answer.statusCode())
                                    .as("%s as %s, field %s: %s", action, role, field, hostile)
                                    .isLessThan(500);
                            assertThat(answer.body())
                                    .as(action)
                                    .doesNotContain("<script>alert(1)", "PSQLException", "org.tenmesh.");
                        }
                    }
                }
            }
        }
        // Lists of fields that were found, so that a crawl that finds nothing is seen.
        assertThat(tried).as(tried.toString()).hasSizeGreaterThan(25);
        assertThat(sent).isGreaterThan(100);
        System.out.println(sent + " hostile fields sent, " + tried.size() + " different ones");
        assertThat(store.verifyJournal().whole()).isTrue();
        assertThat(store.compareWithJournal(says -> {}).differences()).isEmpty();
        assertThat(store.people().all()).hasSizeGreaterThanOrEqualTo(PersonRole.values().length);
    }

    private static Map<String, String> fields(String html) {
        Map<String, String> fields = new LinkedHashMap<>();
        Matcher field = FIELD.matcher(html);
        while (field.find()) {
            String name = SignedIn.attribute(field.group(2), "name");
            if (!name.isEmpty() && !SignedIn.attribute(field.group(2), "type").equals("file")) {
                fields.putIfAbsent(name, SignedIn.attribute(field.group(2), "value"));
            }
        }
        return fields;
    }

    @Test
    void noParameterOfTheInterfaceReachesTheDatabaseAsAnythingButText() throws Exception {
        String token = store.tokens()
                .make(
                        "attacker",
                        Set.of(Scope.REGISTER, Scope.RESULTS, Scope.FEED),
                        false,
                        Instant.now().plus(Duration.ofDays(1)),
                        "test");
        HttpClient http = HttpClient.newHttpClient();
        for (String hostile : HOSTILE) {
            String part = URLEncoder.encode(hostile, StandardCharsets.UTF_8).replace("+", "%20");
            for (String path : List.of(
                    "changes?after=" + part,
                    "changes?limit=" + part,
                    "submissions?day=" + part,
                    "submissions/" + part,
                    "submissions/" + part + "/results",
                    "submissions/x?received_on=" + part,
                    "submissions/x/results?revision=" + part,
                    "changes?" + part + "=1")) {
                HttpResponse<String> answer = http.send(
                        HttpRequest.newBuilder(server.address().resolve("/interface/v1/" + path))
                                .header("Authorization", "Bearer " + token)
                                .build(),
                        HttpResponse.BodyHandlers.ofString());
                assertThat(answer.statusCode()).as(path).isIn(200, 400, 404);
                assertThat(answer.body()).doesNotContain("PSQLException");
            }
            HttpResponse<String> registered = http.send(
                    HttpRequest.newBuilder(server.address().resolve("/interface/v1/submissions"))
                            .header("Authorization", "Bearer " + token)
                            .header("Idempotency-Key", "k" + HOSTILE.indexOf(hostile))
                            .header("Content-Type", "application/json")
                            .POST(HttpRequest.BodyPublishers.ofString(
                                    org.tenmesh.exchange.json.Json.line(org.tenmesh.exchange.json.Json.object(
                                            "client",
                                            hostile,
                                            "soils",
                                            List.of(org.tenmesh.exchange.json.Json.object("label", hostile))))))
                            .build(),
                    HttpResponse.BodyHandlers.ofString());
            assertThat(registered.statusCode()).as(registered.body()).isIn(201, 422);
        }
        assertThat(store.verifyJournal().whole()).isTrue();
        assertThat(store.compareWithJournal(says -> {}).differences()).isEmpty();
    }

    @Test
    void fortyRequestsOfOneProgramAtOnceAreAnsweredFourAtATime() {
        String token = store.tokens()
                .make("hasty", Set.of(Scope.FEED), false, Instant.now().plus(Duration.ofDays(1)), "test");
        HttpClient http = HttpClient.newHttpClient();
        List<CompletableFuture<HttpResponse<String>>> all = new ArrayList<>();
        for (int i = 0; i < 40; i++) {
            all.add(http.sendAsync(
                    HttpRequest.newBuilder(server.address().resolve("/interface/v1/changes"))
                            .header("Authorization", "Bearer " + token)
                            .build(),
                    HttpResponse.BodyHandlers.ofString()));
        }
        for (CompletableFuture<HttpResponse<String>> one : all) {
            HttpResponse<String> answer = one.join();
            assertThat(answer.statusCode()).isIn(200, 503);
            if (answer.statusCode() == 503) {
                assertThat(answer.headers().firstValue("Retry-After")).isPresent();
            }
        }
        assertThat(all.stream().map(CompletableFuture::join).filter(one -> one.statusCode() == 200))
                .isNotEmpty();
    }

    @Test
    void noWorksheetIsABomb() throws IOException {
        Map<String, byte[]> bombs = new LinkedHashMap<>();
        bombs.put(
                "blanks.xlsx",
                workbook("<worksheet><sheetData><row r=\"1\"><c r=\"A1\" t=\"inlineStr\"><is><t>"
                        + " ".repeat(200_000_000) + "</t></is></c></row></sheetData></worksheet>"));
        StringBuilder wide = new StringBuilder("<worksheet><sheetData>");
        for (int row = 1; row <= 4_000; row++) {
            wide.append("<row r=\"")
                    .append(row)
                    .append("\">")
                    .append("<c><v>1</v></c>".repeat(400))
                    .append("</row>");
        }
        bombs.put("wide.xlsx", workbook(wide + "</sheetData></worksheet>"));
        StringBuilder entities = new StringBuilder("<!DOCTYPE x [<!ENTITY a0 \"lol\">");
        for (int i = 1; i < 30; i++) {
            entities.append("<!ENTITY a")
                    .append(i)
                    .append(" \"")
                    .append(("&a" + (i - 1) + ";").repeat(10))
                    .append("\">");
        }
        bombs.put(
                "entities.xlsx",
                workbook(
                        entities
                                + "]><worksheet><sheetData><row r=\"1\"><c r=\"A1\" t=\"inlineStr\"><is><t>&a29;</t></is></c></row></sheetData></worksheet>"));
        bombs.put(
                "outside.xlsx",
                workbook("<!DOCTYPE x [<!ENTITY f SYSTEM \"file:///etc/passwd\">]><worksheet><sheetData>"
                        + "<row r=\"1\"><c r=\"A1\" t=\"inlineStr\"><is><t>Sample</t></is></c></row><row r=\"2\"><c r=\"A2\" t=\"inlineStr\"><is><t>&f;</t></is></c></row>"
                        + "</sheetData></worksheet>"));
        bombs.put(
                "number.xlsx",
                workbook(
                        "<worksheet><sheetData><row r=\"1\"><c r=\"A1\"><v>1e2000000000</v></c></row></sheetData></worksheet>"));
        bombs.put(
                "row.xlsx",
                workbook(
                        "<worksheet><sheetData><row r=\"99999999999\"><c r=\"A99999999999\"><v>1</v></c></row></sheetData></worksheet>"));
        bombs.put(
                "address.xlsx",
                workbook("<worksheet><sheetData><row r=\"1\"><c r=\"!!\"><v>1</v></c></row></sheetData></worksheet>"));
        bombs.put("quote.csv", ("Sample\n\"" + "x\n".repeat(900_000)).getBytes(StandardCharsets.UTF_8));
        bombs.put("deep.json", "[".repeat(900_000).getBytes(StandardCharsets.UTF_8));
        bombs.put("../../outside.json", "{}".getBytes(StandardCharsets.UTF_8));
        for (Map.Entry<String, byte[]> bomb : bombs.entrySet()) {
            long start = System.nanoTime();
            SheetReader.Sheet sheet = new ClientSheets().read(bomb.getKey(), bomb.getValue());
            assertThat((System.nanoTime() - start) / 1e9)
                    .as("s for " + bomb.getKey())
                    .isLessThan(20);
            assertThat(sheet.problems()).as(bomb.getKey()).isNotEmpty();
            assertThat(sheet.samples()).as(bomb.getKey()).isEmpty();
            assertThat(sheet.problems().toString()).as(bomb.getKey()).doesNotContain("root:");
        }
    }

    /** A workbook with one sheet. */
    private static byte[] workbook(String sheet) throws IOException {
        String types = "<Types xmlns=\"http://schemas.openxmlformats.org/package/2006/content-types\">"
                + "<Default Extension=\"rels\" ContentType=\"application/vnd.openxmlformats-package.relationships+xml\"/>"
                + "<Override PartName=\"/xl/workbook.xml\" ContentType=\"application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml\"/>"
                + "<Override PartName=\"/xl/worksheets/sheet1.xml\" ContentType=\"application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml\"/></Types>";
        String relations =
                "<Relationships xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\"><Relationship Id=\"r1\""
                        + " Type=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships/%s\" Target=\"%s\"/></Relationships>";
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        try (ZipOutputStream zip = new ZipOutputStream(bytes)) {
            entry(zip, "[Content_Types].xml", types);
            entry(zip, "_rels/.rels", relations.formatted("officeDocument", "xl/workbook.xml"));
            entry(
                    zip,
                    "xl/workbook.xml",
                    "<workbook xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\" xmlns:r=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships\">"
                            + "<sheets><sheet name=\"a\" sheetId=\"1\" r:id=\"r1\"/></sheets></workbook>");
            entry(zip, "xl/_rels/workbook.xml.rels", relations.formatted("worksheet", "worksheets/sheet1.xml"));
            entry(
                    zip,
                    "xl/worksheets/sheet1.xml",
                    sheet.replace(
                            "<worksheet>",
                            "<worksheet xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\">"));
        }
        return bytes.toByteArray();
    }

    private static void entry(ZipOutputStream zip, String name, String text) throws IOException {
        zip.putNextEntry(new ZipEntry(name));
        zip.write(text.getBytes(StandardCharsets.UTF_8));
        zip.closeEntry();
    }
}
