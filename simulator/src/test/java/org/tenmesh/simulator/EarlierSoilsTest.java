package org.tenmesh.simulator;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.EarlierSoils;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.simulator.soils.GivenSoil;
import org.tenmesh.simulator.soils.Ground;
import org.tenmesh.simulator.soils.KnownSoils;

/** What a day gains from the days before it, with faults planted in days whose truth is known. */
class EarlierSoilsTest {
    private static final LocalDate TODAY = LocalDate.of(2026, 11, 25);
    private static final MethodBook METHODS = MethodFiles.shipped();
    private static final long SPACED = 1_000_000_007;
    private static final String MOOR = "Moor farm (invented)";

    private static JudgedDay judged(SimulatedDay day, EarlierSoils earlier) {
        return DayJudge.judge(day.day(), METHODS, earlier);
    }

    private static List<EarlierSoils.EarlierSoil> earlier(SimulatedDay day) {
        // The date on which the first run of the laboratory day began.
        LocalDate date = day.day().runs().stream()
                .map(run -> run.startedAt().toLocalDate())
                .min(Comparator.naturalOrder())
                .orElseThrow();
        Map<LabNumber, Map<String, Map<String, Double>>> found = new HashMap<>();
        for (Result result : judged(day, EarlierSoils.NONE).results()) {
            if (result.verdict() == Verdict.FIT
                    && Double.isFinite(result.amount().raw())) {
                found.computeIfAbsent(result.labNumber(), lab -> new HashMap<>())
                        .computeIfAbsent(result.method(), method -> new HashMap<>())
                        .put(result.analyte(), result.amount().raw());
            }
        }
        Map<String, String> clients = clients(day);
        List<EarlierSoils.EarlierSoil> soils = new ArrayList<>();
        for (Soil soil : day.day().soils()) {
            soil.submission()
                    .ifPresent(submission -> soils.add(new EarlierSoils.EarlierSoil(
                            date,
                            submission,
                            clients.getOrDefault(submission, ""),
                            Optional.empty(),
                            soil.clientLabel().orElse(""),
                            found.getOrDefault(soil.labNumber(), Map.of()))));
        }
        return soils;
    }

    private static Map<String, String> clients(SimulatedDay day) {
        return day.day().submissions().stream().collect(Collectors.toMap(Submission::submission, Submission::client));
    }

    private static SimulatedDay small(long seed, String method) {
        return Simulator.simulate(new Scenario(
                seed * SPACED,
                60,
                List.of(Fault.parse("tray-turned,method=" + method + ",position=30")),
                TODAY,
                Options.defaults().withKeyWells(false)));
    }

    private static boolean turned(JudgedDay judged, String method) {
        return judged.causes().stream()
                .anyMatch(cause ->
                        cause.kind() == CauseKind.TRAY_TURNED && cause.method().equals(method) && cause.samples() >= 9);
    }

    @Test
    void aSmallDayFindsATurnedTrayOnceEarlierDaysAreKnown() {
        LocalDate yesterday = TODAY.minusDays(1);
        EarlierSoils earlier = new EarlierSoils(
                earlier(Simulator.simulate(new Scenario(900 * SPACED, 800, List.of(), yesterday, Options.defaults()))));
        for (String method : List.of("ph-water-1-1", "om-loi-360")) {
            int alone = 0;
            int with = 0;
            for (int seed = 1; seed <= 6; seed++) {
                SimulatedDay day = small(seed, method);
                alone += turned(judged(day, EarlierSoils.NONE), method) ? 1 : 0;
                with += turned(judged(day, earlier), method) ? 1 : 0;
            }
            assertThat(alone).as("found alone, of 6, " + method).isZero();
            assertThat(with).as("found with yesterday, of 6, " + method).isGreaterThanOrEqualTo(5);
        }
    }

    @Test
    void aDayLearnsFromNoLaterOne() {
        LocalDate tomorrow = TODAY.plusDays(1);
        EarlierSoils later = new EarlierSoils(
                earlier(Simulator.simulate(new Scenario(900 * SPACED, 300, List.of(), tomorrow, Options.defaults()))));
        SimulatedDay day = small(1, "ph-water-1-1");
        assertThat(judged(day, later)).isEqualTo(judged(day, EarlierSoils.NONE));
    }

    // Four hundred arable soils of several clients with fifty peat soils of one client in their midst.
    private static SimulatedDay withMoor(long seed, LocalDate date, List<Fault> faults) {
        List<GivenSoil> soils = new ArrayList<>(given(seed, 400, Ground.ARABLE));
        List<GivenSoil> peat = given(seed + 1, 400, Ground.PEAT);
        String longest =
                peat.stream()
                        .collect(Collectors.groupingBy(GivenSoil::client, Collectors.counting()))
                        .entrySet()
                        .stream()
                        .max(Map.Entry.comparingByValue())
                        .orElseThrow()
                        .getKey();
        soils.addAll(
                200,
                peat.stream()
                        .filter(soil -> soil.client().equals(longest))
                        .limit(50)
                        .map(soil ->
                                new GivenSoil(MOOR, soil.field(), soil.label(), soil.ph(), soil.loiPct(), soil.mgKg()))
                        .toList());
        return Simulator.simulate(new Scenario(seed, soils.size(), faults, date, Options.defaults()), soils);
    }

    private static List<GivenSoil> given(long seed, int count, Ground ground) {
        SimulatedDay day = Simulator.simulate(
                new Scenario(seed, count, List.of(), TODAY, Options.defaults().on(ground)));
        Map<String, String> clients = clients(day);
        List<String> symbols = KnownSoils.symbols();
        List<GivenSoil> soils = new ArrayList<>();
        for (Soil soil : day.day().soils()) {
            double[] is = day.truth().contents().get(soil.labNumber());
            if (soil.submission().isPresent() && is != null) {
                Map<String, Double> mgKg = new HashMap<>();
                for (int i = 2; i < symbols.size(); i++) {
                    mgKg.put(symbols.get(i), is[i]);
                }
                String box = soil.submission().get();
                String label = soil.clientLabel().orElse("");
                soils.add(new GivenSoil(
                        clients.getOrDefault(box, ""),
                        box + " " + label.replaceAll("\\d+$", ""),
                        box + " " + label,
                        OptionalDouble.of(is[0]),
                        OptionalDouble.of(is[1]),
                        mgKg));
            }
        }
        return soils;
    }

    @Test
    void aClientOfUnusualSoilsIsHeldAgainstItsOwn() {
        List<EarlierSoils.EarlierSoil> soils = new ArrayList<>();
        for (int day = 1; day <= 8; day++) {
            LocalDate date = TODAY.minusDays(day);
            soils.addAll(earlier(withMoor(700 * SPACED + day * SPACED, date, List.of())));
        }
        EarlierSoils earlier = new EarlierSoils(soils);
        assertThat(soils.stream().filter(soil -> soil.client().equals(MOOR)).count())
                .as("enough to say what is usual there")
                .isGreaterThan(270);
        int called = 0;
        int found = 0;
        for (int seed = 1; seed <= 4; seed++) {
            SimulatedDay clean = withMoor(seed * SPACED, TODAY, List.of());
            Set<String> moor = labNumbers(clean);
            called += touching(judged(clean, earlier), moor).size();
            String wrong = moor.stream().sorted().skip(20).findFirst().orElseThrow();
            SimulatedDay faulty = withMoor(
                    seed * SPACED,
                    TODAY,
                    List.of(Fault.parse(
                            "implausible-together,method=ph-water-1-1,run=" + place(clean, "ph-water-1-1", wrong))));
            found += touching(judged(faulty, earlier), Set.of(wrong)).isEmpty() ? 0 : 1;
        }
        assertThat(called)
                .as("clean days of the client that were doubted, of 4")
                .isZero();
        assertThat(found).as("wrong results of the client that were seen, of 4").isGreaterThanOrEqualTo(3);
    }

    private static Set<String> labNumbers(SimulatedDay day) {
        Map<String, String> clients = clients(day);
        return day.day().soils().stream()
                .filter(soil -> soil.submission()
                        .map(box -> MOOR.equals(clients.get(box)))
                        .orElse(false))
                .map(soil -> soil.labNumber().text())
                .collect(Collectors.toSet());
    }

    private static List<Cause> touching(JudgedDay judged, Set<String> labNumbers) {
        Set<String> ids = judged.results().stream()
                .filter(result -> labNumbers.contains(result.labNumber().text()))
                .flatMap(result -> result.causes().stream())
                .collect(Collectors.toSet());
        return judged.causes().stream()
                .filter(cause -> ids.contains(cause.id()) && cause.kind() == CauseKind.IMPLAUSIBLE_TOGETHER)
                .toList();
    }

    private static String place(SimulatedDay day, String method, String labNumber) {
        for (var run : day.day().runs()) {
            for (int i = 0; run.method().equals(method) && i < run.readings().size(); i++) {
                if (run.readings().identity(i).equals(labNumber)) {
                    return run.run() + ",position=" + run.readings().position(i);
                }
            }
        }
        throw new IllegalArgumentException(labNumber + " was not read by " + method);
    }
}
