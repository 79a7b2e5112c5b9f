package org.tenmesh.web;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.http.HttpResponse;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.stream.Collectors;
import org.jsoup.nodes.Document;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.desk.Action;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.Promise;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.release.Amendment;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.Releasing;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.store.Store;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.cards.OpenDay;
import org.tenmesh.web.http.Assets;
import org.tenmesh.web.soils.SoilPages;

/**
 * Two laboratory days one after the other: the first with a signed report and work left open, the second with a run that reads soils of
 * the first again. Everything in both is invented.
 */
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
class TwoDaysDbTest {
    private static final String PHRASE = "a heron over the weir";
    private static final String FIRST = "2026-11-25";
    private static final String SECOND = "2026-11-26";
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    /** When the pages are looked at: some days later, when what was promised is late. */
    private static final Clock MORNING = Clock.fixed(Instant.parse("2026-11-30T09:00:00Z"), ZoneOffset.UTC);

    private final List<String> addresses = new ArrayList<>();
    private Store store;
    private Server server;
    private Browser browser;
    private String submission = "";
    private Run redo;

    @BeforeAll
    void twoDays(@TempDir Path folder) {
        store = EmptyStore.open(folder, MORNING);
        Scenario scenario = Scenario.of(11, 120, DATE).with(Fault.of(CauseKind.CALIBRATION_REJECTED));
        Day first = Simulator.simulate(scenario).day();
        store.take(first, Assets.hash("first day"), "test");
        store.people().add(new Person("A. Invented", PersonRole.IN_CHARGE, ""), "test");
        open();
        browser.submit("/password", "/password", Map.of("fresh", PHRASE, "again", PHRASE));
        Desk desk = server.currentDay().desk().orElseThrow();
        Cause cause = desk.openCauses().get(0);
        LabNumber touched = cause.labNumbers().iterator().next();
        submission = desk.promises().stream()
                .map(p -> p.submission().submission())
                .filter(name -> desk.soilsOf(name).stream()
                        .anyMatch(s -> cause.labNumbers().contains(s.labNumber())))
                .findFirst()
                .orElseThrow();
        assertThat(sign("first release").statusCode()).isEqualTo(303);
        String place = desk.place(desk.soilsOf(submission).get(0).labNumber())
                .orElseThrow()
                .tray()
                .tray();
        addresses.addAll(List.of(
                "/reports/" + submission + "/1",
                "/submissions/" + submission,
                "/soils/" + touched,
                "/trays/" + place,
                "/runs/" + cause.run()));
        for (String list : List.of("/today", "/causes", "/runs", "/trays", "/submissions", "/reports", "/gates")) {
            Document page = browser.page(list);
            page.select("a[href^=/days/]")
                    .forEach(a -> addresses.add(a.attr("href").replaceFirst("#.*", "")));
        }
        close();

        // The run whose calibration was rejected is read again the next morning, this time with a good calibration.
        Run sound = Simulator.simulate(Scenario.of(11, 120, DATE)).day().runs().stream()
                .filter(run -> run.run().equals(cause.run()))
                .findFirst()
                .orElseThrow();
        redo = again(sound, "REDO-01");
        Day second = Simulator.simulate(Scenario.of(12, 120, DATE.plusDays(1))).day();
        List<Run> runs = new ArrayList<>(second.runs());
        runs.add(redo);
        store.take(second.withRuns(runs), Assets.hash("second day"), "test");
        open();
        waitForOpenWork();
    }

    @AfterAll
    void done() {
        close();
        store.close();
    }

    private void open() {
        server = Server.start(ServerSettings.local(0), store, Ashgrove.METHODS, MORNING);
        browser = new Browser(server.address());
        String link = server.oneTimeLink("A. Invented", Duration.ofMinutes(5)).getPath();
        browser.submit(link, link, Map.of());
    }

    private void close() {
        server.close();
    }

    private void waitForOpenWork() {
        for (int i = 0; i < 600 && server.currentDay().open().isEmpty(); i++) {
            try {
                Thread.sleep(50);
            } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
            }
        }
    }

    private HttpResponse<byte[]> sign(String reason) {
        Map<String, String> form = new HashMap<>();
        Document page = browser.page("/days/" + FIRST + "/release/" + submission);
        page.select("main form input[type=hidden]").forEach(i -> form.put(i.attr("name"), i.val()));
        form.put("reason", reason);
        form.put("password", PHRASE);
        return browser.post(page.expectFirst("main form[action*=/release/]").attr("action"), form);
    }

    private static Run again(Run run, String name) {
        Readings.Builder rows = Readings.builder();
        Readings from = run.readings();
        for (int i = 0; i < from.size(); i++) {
            rows.add(
                    from.position(i),
                    from.role(i),
                    from.identity(i),
                    from.channel(i),
                    from.quantity(i),
                    from.value(i),
                    from.unit(i),
                    from.at(i).plusDays(1),
                    from.dilution(i));
        }
        return MadeRun.like(run)
                .named(name)
                .startedAt(run.startedAt().plusDays(1))
                .readings(rows.build())
                .run();
    }

    @Test
    void everyAddressOfTheFirstDayStillAnswers() {
        assertThat(addresses).hasSizeGreaterThan(30);
        TreeSet<String> wrong = new TreeSet<>();
        for (String address : new TreeSet<>(addresses)) {
            int status = browser.get(address).statusCode();
            if (status != 200) {
                wrong.add(status + " " + address);
            }
        }
        assertThat(wrong).isEmpty();
    }

    @Test
    void aSignedReportOfTheFirstDayIsTheSameDocumentStill() {
        byte[] pdf =
                browser.get("/days/" + FIRST + "/reports/" + submission + "/1").body();
        assertThat(new String(pdf, 0, 5, StandardCharsets.US_ASCII)).isEqualTo("%PDF-");
    }

    @Test
    void anAddressWithoutADayIsThatOfTheNewestDayThatHasIt() {
        Document run = browser.page("/runs/REDO-01");
        assertThat(run.select("#earlier-day")).isEmpty();
        Document soil = browser.page("/days/" + FIRST + "/soils/" + firstTouched());
        assertThat(soil.expectFirst("#earlier-day").text()).contains("Wed 25 Nov 2026");
    }

    @Test
    void todayListsWhatTheFirstDayLeftOpen() throws InterruptedException {
        // What another test released is looked at behind the pages.
        CountDownLatch looked = new CountDownLatch(1);
        server.currentDay().follow(word -> looked.countDown());
        assertThat(looked.await(20, TimeUnit.SECONDS)).isTrue();
        assertThat(server.currentDay().open()).extracting(OpenDay::day).containsExactly(FIRST);
        OpenDay open = server.currentDay().open().get(0);
        assertThat(open.promises()).isNotEmpty().noneMatch(Promise::released);
        Document today = browser.page("/today");
        assertThat(today.expectFirst("#earlier").text()).contains("earlier days");
        assertThat(today.select("a[href=/days/" + FIRST + "/submissions]")).isNotEmpty();
        Document submissions = browser.page("/submissions");
        String unreleased = open.promises().get(0).submission().submission();
        assertThat(submissions.select("a[href=/days/" + FIRST + "/submissions/" + unreleased + "]"))
                .isNotEmpty();
    }

    @Test
    void lateGoesByTheClockInTheLaboratorysZone() {
        OpenDay open = server.currentDay().open().get(0);
        assertThat(open.today()).isEqualTo(LocalDate.of(2026, 11, 30));
        long late = open.promises().stream()
                .filter(p -> p.submission()
                        .promisedOn()
                        .filter(d -> d.isBefore(open.today()))
                        .isPresent())
                .count();
        assertThat(late).isPositive();
        assertThat(browser.page("/submissions?show=late").select("td .word.redo"))
                .hasSizeGreaterThanOrEqualTo((int) late);
    }

    private LabNumber firstTouched() {
        Desk desk = server.currentDay().desk(FIRST).orElseThrow();
        return desk.soilsOf(submission).stream()
                .map(Soil::labNumber)
                .filter(lab -> redo.readings().identities().contains(lab.text()))
                .findFirst()
                .orElseThrow();
    }

    @Test
    void aRedoOnTheSecondDayStandsInPlaceOfTheFirstDaysValue() {
        Desk desk = server.currentDay().desk(FIRST).orElseThrow();
        LabNumber lab = firstTouched();
        List<Result> standing = desk.standing(lab).stream()
                .filter(r -> r.method().equals(redo.method()) && !r.run().isEmpty())
                .toList();
        assertThat(standing).isNotEmpty().allSatisfy(r -> {
            assertThat(desk.origin(r)).isEqualTo(new Desk.Origin(SECOND, "REDO-01"));
            assertThat(r.verdict()).isEqualTo(Verdict.FIT);
        });
        List<Result> superseded = desk.superseded(lab).stream()
                .filter(r -> r.method().equals(redo.method()))
                .toList();
        assertThat(superseded)
                .as(lab + " " + redo.method() + " "
                        + desk.judged().results().stream()
                                .filter(r -> r.labNumber().equals(lab))
                                .toList())
                .isNotEmpty()
                .allSatisfy(r -> {
                    assertThat(desk.origin(r).day()).isEmpty();
                    assertThat(desk.whyNot(r)).contains("REDO-01");
                });
        assertThat(browser.page("/days/" + FIRST + "/soils/" + lab + "?why=" + SoilPages.key(standing.get(0)))
                        .select("a[href^=/days/" + SECOND + "/runs/REDO-01]"))
                .isNotEmpty();
    }

    @Test
    void soilsOfATrayThatWereReadTheDayBeforeAreNotMissingOnTheSecond() {
        Desk second = server.currentDay().desk(SECOND).orElseThrow();
        assertThat(second.judged().causes())
                .filteredOn(c -> c.kind() == CauseKind.MISSING_READING || c.kind() == CauseKind.TRUNCATED_RUN)
                .isEmpty();
    }

    @Test
    void aGateShutOnTheFirstDayHoldsWhatIsReadOnTheSecondUntilItIsOpened() {
        Instant evening = Instant.parse("2026-11-25T20:00:00Z");
        // A furnace of the evening before belongs to the second day too, but was read before the gate was shut.
        List<Run> runs = server.currentDay().desk().orElseThrow().day().runs();
        Run run = runs.stream()
                .filter(one -> runs.stream()
                        .filter(other -> other.instrument().equals(one.instrument()))
                        .allMatch(other ->
                                other != redo && other.startedAt().toInstant().isAfter(evening)))
                .findFirst()
                .orElseThrow();
        String instrument = run.instrument();
        assertThat(verdicts(SECOND, instrument)).contains(Verdict.FIT);
        assertThat(verdicts(FIRST, instrument)).contains(Verdict.FIT);

        store.act(
                FIRST,
                Grounds.ofInstrument(instrument, run.run()),
                Action.SHUT_GATE,
                "the lamp is to be changed",
                "A. Invented",
                evening);
        server.currentDay().renew();

        assertThat(verdicts(SECOND, instrument)).isNotEmpty().doesNotContain(Verdict.FIT);
        assertThat(verdicts(FIRST, instrument)).as("was read before").contains(Verdict.FIT);
        Desk desk = server.currentDay().desk().orElseThrow();
        List<Soil> soils = desk.day().soils().stream()
                .filter(soil -> desk.standing(soil.labNumber()).stream()
                        .anyMatch(result -> result.run().equals(run.run())
                                && result.causes().equals(List.of(Grounds.keyOf(instrument)))))
                .limit(1)
                .toList();
        assertThat(Releasing.draft(
                        desk.day(), soils, desk.standing(soils.get(0).labNumber()), desk.ruled(), Ashgrove.METHODS))
                .anySatisfy(result -> {
                    assertThat(result.heldBecause())
                            .isEqualTo("the laboratory has taken the instrument out of use for now");
                    assertThat(result.reported()).isEmpty();
                });
        assertThat(browser.page("/gates").text()).contains("shut by A. Invented", "the lamp is to be changed");

        HttpResponse<byte[]> opened = browser.submit(
                "/gates",
                "/causes/act",
                Map.of(
                        "cause",
                        Grounds.keyOf(instrument),
                        "evidence",
                        "",
                        "action",
                        "open-gate",
                        "reason",
                        "a new lamp",
                        "back",
                        "/gates"));
        assertThat(opened.statusCode()).isEqualTo(303);
        assertThat(verdicts(SECOND, instrument)).contains(Verdict.FIT);
        assertThat(server.currentDay().desk(FIRST).orElseThrow().shutByHand(instrument))
                .isEmpty();
    }

    /** Verdicts of everything that this instrument read on a day, as they count there. */
    private Set<Verdict> verdicts(String day, String instrument) {
        Desk desk = server.currentDay().desk(day).orElseThrow();
        return desk.ruled().results().stream()
                .filter(result -> desk.instrumentOf(result.run()).equals(instrument))
                .map(Result::verdict)
                .collect(Collectors.toSet());
    }

    @Test
    void theAmendedReleaseSaysWhatTheRedoChanged() {
        assertThat(sign("read again with a good calibration").statusCode()).isEqualTo(303);
        List<Release> releases = store.releases(FIRST).stream()
                .filter(r -> r.submission().equals(submission))
                .toList();
        assertThat(releases).extracting(Release::revision).containsExactly(1, 2);
        assertThat(Amendment.between(releases.get(0), releases.get(1)).changes())
                .isNotEmpty()
                .allSatisfy(change -> {
                    assertThat(redo.readings().identities())
                            .contains(change.labNumber().text());
                    assertThat(change.is()).isNotEmpty();
                });
        byte[] pdf =
                browser.get("/days/" + FIRST + "/reports/" + submission + "/2").body();
        assertThat(new String(pdf, 0, 5, StandardCharsets.US_ASCII)).isEqualTo("%PDF-");
    }
}
