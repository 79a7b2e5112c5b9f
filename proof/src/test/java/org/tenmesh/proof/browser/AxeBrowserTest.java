package org.tenmesh.proof.browser;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.net.URI;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.app.Main;
import org.tenmesh.app.laboratory.ClientSheets;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.living.LivingDay;
import org.tenmesh.app.living.PlayedPerson;
import org.tenmesh.core.custody.Charge;
import org.tenmesh.core.custody.Origin;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.Signed;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.shelf.Codes;
import org.tenmesh.core.shelf.ShelfAct;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.store.Store;
import org.tenmesh.store.custody.LedgerBook;
import org.tenmesh.store.server.StoreSettings;
import org.tenmesh.web.Server;
import org.tenmesh.web.ServerSettings;

/**
 * Every page of the route table in both themes and on narrow screens, judged by axe-core against WCAG 2.2 (<a href="https://github.com/dequelabs/axe-core">axe-core</a>
 * 4.11.1, all its rules). Which pages there are is read from the sources: a page that is added and not reached here fails the test.
 */
final class AxeBrowserTest {
    private static final Pattern ROUTE = Pattern.compile("(?:Route\\.get|\\bpage)\\(\\s*\"(/[^\"]*)\"");
    private static final Pattern PASSWORD = Pattern.compile("To sign a release as either: (\\S+)");

    /** What answers with something else than a page. */
    private static final Pattern NO_PAGE = Pattern.compile(
            "/|/live|/bench-work.*|.*/file|.*/file/.*|.*/\\{format}|.*/preview/.*|/reports/\\{submission}/\\{revision}"
                    + "|/journal/anchor|/capture/piece|/enter/\\{token}|/days/\\{day}/.*");

    /** A run order needs soils that wait: its page is judged in both themes and on narrow screens where a whole day is walked (WholeDayBrowserTest). */
    private static final Set<String> ELSEWHERE = Set.of("/orders/{order}");

    /** Who is signed in, the one who sees most first; of the others only what the ones before did not see. */
    private static final List<String> NAMES = List.of("A. Marram", "B. Tansy", "C. Fescue", "R. Quill");

    @TempDir
    @SuppressWarnings("NullAway.Init")
    private Path folder;

    private final List<AutoCloseable> toClose = new ArrayList<>();
    private final Map<String, Pattern> routes = new LinkedHashMap<>();
    private final Set<String> reached = new TreeSet<>();
    private final List<String> wrong = new ArrayList<>();

    @AfterEach
    void close() throws Exception {
        for (int i = toClose.size() - 1; i >= 0; i--) {
            toClose.get(i).close();
        }
    }

    @Test
    void noPageHasAViolationInEitherTheme() throws Exception {
        Browser browser = Browser.start(Files.createDirectory(folder.resolve("downloads")));
        toClose.add(browser);
        routes();
        StringWriter out = new StringWriter();
        Path data = folder.resolve("data");
        Main.run(
                new Console(new PrintWriter(out), new PrintWriter(out), false),
                "demo",
                "--data",
                data.toString(),
                "--port",
                "0",
                "--once");
        Matcher password = PASSWORD.matcher(out.toString());
        assertThat(password.find()).as(out.toString()).isTrue();

        Clock clock = Clock.systemUTC();
        LocalDate today = LocalDate.now(clock);
        Day day = Simulator.simulate(LivingDay.scenario(today)).day();
        Store store = Store.open(StoreSettings.embedded(data.resolve("database")), clock, new SecureRandom());
        toClose.add(store);
        String taken = store.take(day, today, "a".repeat(64), "test").day();
        regulated(store, today, clock.instant());
        Server server = Server.start(
                ServerSettings.local(0),
                store,
                MethodFiles.shipped(),
                clock,
                Optional.empty(),
                Optional.of(new ClientSheets()));
        toClose.add(server);
        Deque<String> seeds = new ArrayDeque<>(acted(server, password.group(1)));
        Tray tray = day.trays().get(0);
        seeds.addAll(List.of(
                "/shelf/lists/" + discardList(store, taken, day, today),
                "/shelf/trays/" + tray.tray(),
                "/bench/" + tray.tray(),
                "/bench/mill/MILL-1",
                "/bench/rack/R-001",
                "/bench/soil/" + day.soils().get(0).labNumber().text(),
                "/find?q=nothing+is+called+so"));

        browser.open(server.address().resolve("/sign-in").toString());
        judge(browser, "/sign-in");
        for (String name : NAMES) {
            browser.open(server.oneTimeLink(name, Duration.ofMinutes(10)).toString());
            browser.enterAt("form[action^='/enter/'] button", name);
            crawl(browser, server.address(), new ArrayDeque<>(seeds));
        }
        assertThat(wrong).isEmpty();
        Set<String> missing = new TreeSet<>(routes.keySet());
        missing.removeAll(reached);
        missing.removeAll(ELSEWHERE);
        assertThat(missing).as("pages that nobody came to").isEmpty();
    }

    /** Follows links from everything that has an address without variable parts, one page of each kind. */
    private void crawl(Browser browser, URI home, Deque<String> todo) {
        routes.keySet().stream().filter(path -> !path.contains("{")).forEach(todo::add);
        Set<String> asked = new HashSet<>();
        while (!todo.isEmpty()) {
            String path = todo.remove();
            Optional<String> route = routeOf(path);
            if (route.isEmpty() || reached.contains(route.get()) || !asked.add(path)) {
                continue;
            }
            browser.open(home.resolve(path).toString());
            if (!browser.shown()) {
                continue;
            }
            judge(browser, route.get());
            for (String link : new LinkedHashSet<>(browser.links())) {
                if (link.startsWith("/")) {
                    todo.add(link.replaceAll("#.*", ""));
                }
            }
        }
    }

    private void judge(Browser browser, String route) {
        reached.add(route);
        for (int width : new int[] {1440, 820, 390}) {
            long over = browser.overflowOnScreen(width);
            if (over > 0) {
                wrong.add(route + ": " + over + " px wider than a screen of " + width + " px");
            }
        }
        for (boolean dark : new boolean[] {false, true}) {
            for (String one : browser.wrong(dark)) {
                wrong.add(route + (dark ? ", dark: " : ", light: ") + one);
            }
            browser.picture("page" + route.replaceAll("[^A-Za-z]+", "-") + (dark ? "-dark" : "-light"));
        }
    }

    private Optional<String> routeOf(String address) {
        String path = address.replaceAll("\\?.*", "").replaceAll("^/days/[^/]+(?=/)", "");
        return routes.entrySet().stream()
                .filter(one -> one.getValue().matcher(path).matches())
                .map(Map.Entry::getKey)
                .findFirst();
    }

    /** The pages that the sources name, those without variable parts first. */
    private void routes() throws IOException {
        Set<String> found = new TreeSet<>();
        try (Stream<Path> files = Files.walk(Path.of("..", "web", "src", "main", "java"))) {
            for (Path file :
                    files.filter(one -> one.toString().endsWith(".java")).toList()) {
                Matcher matcher = ROUTE.matcher(Files.readString(file));
                while (matcher.find()) {
                    found.add(matcher.group(1));
                }
            }
        }
        assertThat(found).hasSizeGreaterThan(60);
        found.removeIf(path -> NO_PAGE.matcher(path).matches());
        Stream.concat(
                        found.stream().filter(path -> !path.contains("{")),
                        found.stream().filter(path -> path.contains("{")))
                .forEach(path -> routes.put(path, Pattern.compile(path.replaceAll("\\{[^}]*}", "[^/]+"))));
    }

    /** What people have to do before its page is there; gives the addresses of what came of it. */
    private static List<String> acted(Server server, String password) throws IOException, InterruptedException {
        PlayedPerson quality = new PlayedPerson("A. Marram", server.address());
        quality.signIn(password);
        List<String> came = new ArrayList<>();
        PlayedPerson.Shown looked = quality.open("/look-back?of=instrument&name=ICP1");
        for (PlayedPerson.Form form : looked.form("/look-back/hold").stream().toList()) {
            came.add(quality.send(form.with("reason", "for tests")).path());
        }
        for (PlayedPerson.Form form :
                quality.open("/shelf").form("/shelf/list").stream().toList()) {
            came.add(quality.send(form).path());
        }
        for (PlayedPerson.Form form : quality.open("/orders").forms()) {
            if (form.action().startsWith("/orders")) {
                came.add(quality.send(form).path());
                break;
            }
        }
        return came;
    }

    /** Soils that were released weeks ago on a discard list, one of them lent and one held, which are kept off it. */
    private static String discardList(Store store, String name, Day day, LocalDate today) {
        Map<String, List<Soil>> bySubmission = day.soils().stream()
                .filter(soil -> soil.submission().isPresent())
                .collect(Collectors.groupingBy(soil -> soil.submission().orElseThrow()));
        List<Soil> soils = bySubmission.values().stream()
                .filter(its -> its.size() > 4
                        && its.stream().noneMatch(soil -> soil.regulated().orElse(true)))
                .findFirst()
                .orElseThrow();
        OffsetDateTime signedAt =
                today.minusDays(40).atTime(17, 5).atZone(ZoneId.of("UTC")).toOffsetDateTime();
        store.release(
                name,
                new Release(
                        soils.get(0).submission().orElseThrow(),
                        1,
                        "A. Marram",
                        signedAt,
                        "first release",
                        soils.stream()
                                .map(soil -> new ReleasedResult(
                                        soil.labNumber(),
                                        "ph-water-1-1",
                                        "2026-01-01",
                                        "pH",
                                        OptionalDouble.of(6.4),
                                        "[pH]",
                                        "6.4",
                                        "",
                                        ""))
                                .toList()));
        ZoneId zone = ZoneId.of("UTC");
        Instant at = signedAt.toInstant();
        String box = Codes.box(store.shelves().nextBox());
        List<ShelfAct> acts = new ArrayList<>();
        acts.add(shelf(ShelfAct.What.PLACE_MADE, "P-Z9", "", Optional.empty(), at));
        acts.add(shelf(ShelfAct.What.BOX_MADE, box, "", Optional.empty(), at));
        acts.add(shelf(ShelfAct.What.BOX_PUT, box, "P-Z9", Optional.empty(), at));
        soils.forEach(
                soil -> acts.add(shelf(ShelfAct.What.SOIL_PUT, soil.labNumber().text(), box, Optional.empty(), at)));
        String lent = soils.get(0).labNumber().text();
        acts.add(shelf(ShelfAct.What.LENT, lent, "N. Okafor", Optional.of(today.plusDays(3)), at));
        acts.add(shelf(ShelfAct.What.HELD, soils.get(1).labNumber().text(), "complaint", Optional.empty(), at));
        for (ShelfAct act : acts) {
            store.shelves().keep(List.of(act), zone);
        }
        return store.shelves()
                .makeList(
                        today,
                        28,
                        Set.of(),
                        "A. Marram",
                        today.atTime(8, 0).atZone(zone).toInstant(),
                        zone);
    }

    private static ShelfAct shelf(ShelfAct.What what, String about, String to, Optional<LocalDate> until, Instant at) {
        return new ShelfAct(what, about, to, until, false, "for tests", "A. Marram", at);
    }

    private static void regulated(Store store, LocalDate today, Instant now) {
        InventedPapers.sign(store.papers(), today, now);
        Signed<Permit> permit = store.papers().signedPermits().get(0);
        String parcel = store.ledger()
                .receive(
                        new LedgerBook.Received(
                                "first",
                                "SUB-1",
                                Origin.written(Optional.of("US"), List.of("TN", "Hardeman")),
                                "an invented list",
                                permit,
                                OptionalLong.of(1480),
                                3,
                                "dry",
                                "dock"),
                        today,
                        "test",
                        now)
                .code();
        store.charges()
                .open(
                        new Charge(
                                "C-1",
                                "oven 2",
                                permit.name(),
                                permit.version(),
                                permit.paper().treatments().get(0),
                                List.of("middle", "door"),
                                0.5,
                                "test",
                                now),
                        today);
        store.charges().load("C-1", List.of(parcel), "test", now);
        store.charges()
                .record(
                        "C-1",
                        "oven.csv",
                        List.of(
                                new Charge.Point(now.plusSeconds(60), "middle", 124),
                                new Charge.Point(now.plusSeconds(60), "door", 122),
                                new Charge.Point(now.plusSeconds(360), "middle", 125),
                                new Charge.Point(now.plusSeconds(360), "door", 123)),
                        "test",
                        now.plusSeconds(400));
    }
}
