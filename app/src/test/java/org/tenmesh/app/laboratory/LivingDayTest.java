package org.tenmesh.app.laboratory;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import java.util.function.BooleanSupplier;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.app.line.Console;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.BenchWork;
import org.tenmesh.core.bench.Subject;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.dock.DockAct;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.redo.Answer;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.Store;
import org.tenmesh.store.sheets.KeptSheet;

/** The day that a visitor sees, from its first soil to its reports, at a speed that nobody could follow. */
class LivingDayTest {
    private static final int SPEED = 6;
    private static final long PATIENCE_MILLIS = 240_000;

    @TempDir
    @SuppressWarnings("NullAway.Init")
    private Path data;

    private final StringWriter out = new StringWriter();
    private final StringWriter err = new StringWriter();
    private final Console console = new Console(new PrintWriter(out), new PrintWriter(err), false);
    private @Nullable Demonstration opened;

    @AfterEach
    void stop() {
        if (opened != null) {
            opened.close();
        }
    }

    @Test
    void aGateShutsACauseAppearsAnOrderIsDoneAndConfirmedAndReportsLeave() throws Exception {
        Demonstration laboratory = Demonstration.open(console, data, 0, false, SPEED, Clock.systemUTC());
        opened = laboratory;
        assertThat(desk().day().runs()).isEmpty();
        assertThat(laboratory.store().days(20)).hasSize(9);

        until("a run is under way", () -> desk().day().runs().stream().anyMatch(Run::underWay));
        until("the gate of a head shuts", () -> run("PH2-01") && cause(CauseKind.CALIBRATION_REJECTED));
        until("the head is calibrated again", () -> run("PH2-02"));
        until("the plasma drifts", () -> cause(CauseKind.DRIFT));
        until(
                "the drift is ordered to be read again",
                () -> laboratory.store().actions(desk().name()).stream()
                        .anyMatch(acted -> acted.actor().equals("R. Quill")));
        until(
                "the order is read",
                () -> desk().day().runs().stream()
                        .anyMatch(run ->
                                run.instrument().equals("ICP2") && run.run().equals("ICP2-02") && !run.underWay()));
        until(
                "the drift is confirmed",
                () -> laboratory.store().answers(desk().name()).stream()
                        .anyMatch(
                                answer -> answer.kind() == CauseKind.DRIFT && answer.said() == Answer.Said.CONFIRMED));
        until("reports leave", () -> !laboratory.store().releases(desk().name()).isEmpty());
        String yesterday = laboratory.store().days(2).get(1).name();
        until(
                "a tray of yesterday is fetched from the shelf",
                () -> bench(yesterday)
                        .anyMatch(act -> act.step().endsWith(".fetch") && act.what() == BenchAct.What.DONE));
        until(
                "it is read again and its report leaves",
                () -> !laboratory.store().releases(yesterday).isEmpty());
        until(
                "a tray is boxed and dumped",
                () -> bench(desk().name()).anyMatch(act -> act.step().equals(BenchWork.DUMP)));

        until(
                "a portion is spilt, and of another soil there is too little",
                () -> bench(desk().name())
                        .map(BenchAct::what)
                        .toList()
                        .containsAll(List.of(BenchAct.What.DONE, BenchAct.What.SPILT, BenchAct.What.TOO_LITTLE)));
        whatThereIsTooLittleOfIsNotRead();
        theDockAndTheShelfWereWorkedAt(laboratory.store());

        // Nothing came in another way than through the sources.
        assertThat(laboratory.store().arrivals().newest(2_000))
                .extracting(kept -> kept.source())
                .contains("PH1", "PH2", "ICP1", "ICP2", "LOI1");
        assertThat(desk().judged().results())
                .filteredOn(result -> result.verdict() == Verdict.FIT)
                .isNotEmpty();
        assertThat(laboratory.store().verifyJournal().whole()).isTrue();
    }

    /** Every one of these by a person on the pages, after the day began. */
    private void theDockAndTheShelfWereWorkedAt(Store store) {
        assertThat(store.ledger().parcels()).isNotEmpty();
        assertThat(store.ledger().moves()).hasSizeGreaterThan(1);
        assertThat(store.benchActs().racks(100))
                .filteredOn(act -> act.subject().equals(Subject.rack("R-100")))
                .extracting(act -> act.step() + " " + act.what().word())
                .contains("rack.dry begun", "rack.dry done", "rack.grind done", " coarse", " weighed");
        assertThat(store.benchActs().racks(100))
                .filteredOn(act -> act.subject().equals(Subject.rack("R-101")))
                .extracting(act -> act.step() + " " + act.what().word())
                .contains(" loaded", "rack.dry begun");
        String sheet = store.sheets().waiting().stream()
                .filter(kept -> kept.fileName().equals("skylark-rise.csv"))
                .map(KeptSheet::submission)
                .findFirst()
                .orElseThrow();
        assertThat(store.dockActs().waiting().get(sheet))
                .extracting(act -> act.what())
                .contains(DockAct.What.BOX, DockAct.What.COUNTED, DockAct.What.BOOKED);
        assertThat(store.dockActs().waiting().values().stream().flatMap(List::stream))
                .extracting(act -> act.what())
                .contains(DockAct.What.ANSWERED);
    }

    /** The soil that was noted as too little lacks that portion for good: no instrument read it by a method of the portion. */
    private void whatThereIsTooLittleOfIsNotRead() throws InterruptedException {
        BenchAct noted = bench(desk().name())
                .filter(act -> act.what() == BenchAct.What.TOO_LITTLE)
                .findFirst()
                .orElseThrow();
        until(
                "the note is a shortage of the day",
                () -> desk().day().shortages().stream()
                        .anyMatch(shortage -> shortage.labNumber().text().equals(noted.about())));
        assertThat(desk().day().shortages())
                .filteredOn(shortage -> shortage.labNumber().text().equals(noted.about()))
                .allSatisfy(shortage -> assertThat(desk().day().runs())
                        .filteredOn(run -> run.method().equals(shortage.method()))
                        .noneMatch(run -> run.readings().identities().contains(noted.about())));
    }

    private Stream<BenchAct> bench(String day) {
        return requireNonNull(opened).store().benchActs().of(day).stream();
    }

    private Desk desk() {
        return requireNonNull(opened).server().day().orElseThrow();
    }

    private boolean run(String name) {
        return desk().day().runs().stream().anyMatch(run -> run.run().equals(name));
    }

    private boolean cause(CauseKind kind) {
        return desk().judged().causes().stream().anyMatch(cause -> cause.kind() == kind);
    }

    private void until(String what, BooleanSupplier happens) throws InterruptedException {
        long end = System.currentTimeMillis() + PATIENCE_MILLIS;
        while (!happens.getAsBoolean()) {
            assertThat(requireNonNull(opened).day().missed()).as(what).isEmpty();
            assertThat(System.currentTimeMillis()).as(what).isLessThan(end);
            Thread.sleep(200);
        }
    }
}
