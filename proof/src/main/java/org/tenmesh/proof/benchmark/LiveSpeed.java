package org.tenmesh.proof.benchmark;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.security.SecureRandom;
import java.time.Clock;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.DayStage;
import org.tenmesh.core.causes.EarlierSoils;
import org.tenmesh.core.causes.Stages;
import org.tenmesh.core.derived.DerivedSoils;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.Options;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.store.Store;
import org.tenmesh.store.server.StoreSettings;
import org.tenmesh.web.days.CurrentDay;
import org.tenmesh.web.days.Judge;
import org.tenmesh.web.days.StoredLaboratory;

/**
 * From the commit of a new run until the pages show the new judgement, on the open day of 4,000 soils and every method in a database,
 * against the same with the whole day read, and everything on it derived, anew in the same process. One run after the other is taken;
 * the median of them. Argument: a folder that is not there yet for the database, which is left there.
 */
public final class LiveSpeed {
    private static final int SOILS = 4_000;
    private static final LocalDate DATE = LocalDate.of(2026, 11, 25);
    private static final int PATIENCE_SECONDS = 120;
    /** The last two runs of each are taken while the pages are up. */
    private static final List<String> METHODS = List.of("kcl-nitrogen", "dtpa", "ph-water-1-1", "mehlich3-icp");

    private final Store store;
    private final MethodBook methods = MethodFiles.shipped();
    private final Day all;
    private String name = "";
    private int sources;

    private LiveSpeed(Store store, Day all) {
        this.store = store;
        this.all = all;
    }

    public static void main(String[] arguments) throws IOException, InterruptedException {
        Path folder = arguments.length > 0
                ? Path.of(arguments[0]).toAbsolutePath()
                : Files.createTempDirectory("live").resolve("database");
        Options usual = Options.defaults();
        Day day = Simulator.simulate(Scenario.of(7, SOILS, DATE)
                        .with(new Options(usual.metersGivePh(), false, usual.balanceDecimals(), usual.zone(), true)))
                .day();
        try (Store store = Store.open(StoreSettings.embedded(folder), Clock.systemUTC(), new SecureRandom())) {
            new LiveSpeed(store, day).measure();
        }
    }

    private void measure() throws InterruptedException {
        List<Run> late = new ArrayList<>();
        for (String method : METHODS) {
            List<Run> of = all.runs().stream()
                    .filter(run -> run.method().equals(method))
                    .toList();
            late.addAll(of.subList(Math.max(1, of.size() - 2), of.size()));
        }
        List<Run> early = new ArrayList<>(all.runs());
        early.removeAll(late);
        name = store.take(all.withRuns(early), DATE, source(), "benchmark").day();
        try (CurrentDay pages =
                new CurrentDay(new StoredLaboratory(store), methods, Judge.HOUSE, Clock.systemUTC(), 0)) {
            pages.start();
            DayStage first = anew(Stages.NONE);
            kept(first.key());
            Stages stages = first.stages();
            List<Double> live = new ArrayList<>();
            List<Double> whole = new ArrayList<>();
            for (Run run : late) {
                double visible = visible(pages, run);
                long began = System.nanoTime();
                DayStage made = anew(stages);
                double afresh = millis(began);
                stages = made.stages();
                kept(made.key());
                if (!pages.desk().orElseThrow().judged().equals(made.judged())) {
                    throw new IllegalStateException(
                            run.run() + ": the pages show another judgement than the stored day's");
                }
                live.add(visible);
                whole.add(afresh);
                System.out.printf(
                        Locale.ROOT,
                        "%-14s %5d readings: visible %7.0f ms after the commit; with everything read and derived anew %7.0f ms%n",
                        run.method(),
                        run.readings().size(),
                        visible,
                        afresh);
            }
            System.out.printf(
                    Locale.ROOT,
                    "median: %.0f ms against %.0f ms, ratio %.2f%n",
                    median(live),
                    median(whole),
                    median(live) / median(whole));
        }
    }

    private double visible(CurrentDay pages, Run run) throws InterruptedException {
        String before = pages.versionToken();
        CountDownLatch shown = new CountDownLatch(1);
        Consumer<String> follower = token -> {
            if (!token.equals(before)
                    && pages.desk().orElseThrow().run(run.run()).isPresent()) {
                shown.countDown();
            }
        };
        pages.follow(follower);
        store.take(
                new Day(
                        all.laboratory(),
                        List.of(),
                        List.of(),
                        List.of(),
                        Map.of(),
                        List.of(),
                        List.of(),
                        List.of(run)),
                DATE,
                source(),
                "benchmark");
        long began = System.nanoTime();
        if (!shown.await(PATIENCE_SECONDS, TimeUnit.SECONDS)) {
            throw new IllegalStateException(run.run() + " was not shown in " + PATIENCE_SECONDS + " s");
        }
        double millis = millis(began);
        pages.leave(follower);
        return millis;
    }

    /** Waits until the judgement is written: what goes on behind the pages must not slow down the next run, nor be slowed down by it. */
    private void kept(String key) throws InterruptedException {
        for (int i = 0; i < 10 * PATIENCE_SECONDS; i++) {
            if (store.judgementDigest(name).filter(key::equals).isPresent()) {
                return;
            }
            Thread.sleep(100);
        }
        throw new IllegalStateException("the judgement was not kept in " + PATIENCE_SECONDS + " s");
    }

    /** As it was done before only what changed was read and derived. */
    private DayStage anew(Stages before) {
        StoredLaboratory stored = new StoredLaboratory(store);
        Day day = store.quality().dayWithControls(name).orElseThrow();
        day = day.with(stored.history(name, DATE));
        EarlierSoils earlier = stored.earlierSoils(name);
        DayStage made = DayJudge.judge(day, methods, earlier, before);
        new Desk(
                name,
                1,
                day,
                made.judged(),
                methods,
                stored.releases(name),
                stored.actions(name),
                DATE,
                List.of(),
                stored.gatesElsewhere(name),
                new DerivedSoils());
        return made;
    }

    private String source() {
        try {
            return HexFormat.of()
                    .formatHex(MessageDigest.getInstance("SHA-256")
                            .digest(("source " + sources++).getBytes(StandardCharsets.UTF_8)));
        } catch (NoSuchAlgorithmException absent) {
            throw new IllegalStateException("every Java has SHA-256", absent);
        }
    }

    private static double millis(long sinceNanos) {
        return (System.nanoTime() - sinceNanos) / 1e6;
    }

    private static double median(List<Double> of) {
        double[] sorted = of.stream().mapToDouble(Double::doubleValue).toArray();
        Arrays.sort(sorted);
        return sorted[sorted.length / 2];
    }
}
