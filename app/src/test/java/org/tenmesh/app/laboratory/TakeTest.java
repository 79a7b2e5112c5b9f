package org.tenmesh.app.laboratory;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.app.Main;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.Status;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.store.Store;
import org.tenmesh.store.days.DayEntry;
import org.tenmesh.store.journal.JournalEntry;
import org.tenmesh.store.server.StoreSettings;

/** {@code serve --take}: a day that cannot be judged costs that day, never the start, and loses nothing. */
final class TakeTest {
    @TempDir
    @SuppressWarnings("NullAway.Init")
    private Path temp;

    private final StringWriter out = new StringWriter();
    private final StringWriter err = new StringWriter();
    private final Console console = new Console(new PrintWriter(out), new PrintWriter(err), false);
    private Path good = Path.of("");
    private Path data = Path.of("");

    @BeforeEach
    void simulate() {
        good = temp.resolve("good");
        data = temp.resolve("laboratory");
        assertThat(Main.run(console, "simulate", "--seed", "3", "--soils", "120", "--out", good.toString()))
                .isZero();
    }

    private int serve(Serving.Trial trial, Path... days) throws IOException {
        List<String> typed = new java.util.ArrayList<>(List.of("--once", "--port", "0"));
        for (Path day : days) {
            typed.addAll(List.of("--take", day.toString()));
        }
        int status = new Serving(console, true, trial)
                .serve(new ServeCommand().shape().sort(typed), data);
        console.out().flush();
        return status;
    }

    private Path changed(String name, String run, java.util.function.UnaryOperator<String> line) throws IOException {
        Path day = temp.resolve(name);
        try (var files = Files.walk(good)) {
            for (Path file : files.toList()) {
                Files.copy(file, day.resolve(good.relativize(file).toString()));
            }
        }
        Path readings = day.resolve("readings").resolve(run + ".csv");
        Files.write(
                readings,
                Files.readAllLines(readings).stream()
                        .map(line)
                        .filter(text -> !text.isEmpty())
                        .toList());
        return day;
    }

    @Test
    void aDayThatTheJudgeCannotFinishIsKeptAndTold() throws IOException {
        int status = serve(
                (day, methods) -> {
                    throw new IllegalStateException("matrix must have at least one column");
                },
                good);
        assertThat(status).isEqualTo(Status.HELD);
        assertThat(out.toString()).contains("was taken as day", "Tenmesh is at");
        assertThat(err.toString()).contains("cannot be judged", "matrix must have at least one column");
        try (Store store = Databases.open(StoreSettings.embedded(data.resolve("database")), Clock.systemUTC())) {
            DayEntry day = store.days().get(0);
            assertThat(day.soils()).isGreaterThanOrEqualTo(120);
            assertThat(store.journal(10))
                    .filteredOn(entry -> entry.what().equals("day-not-judged"))
                    .extracting(JournalEntry::subject)
                    .containsExactly(day.name());
        }
    }

    /** One electrode that gives 0 mV in every buffer, and a run whose file ends after its head. */
    @Test
    void theServerStartsWithADeadElectrodeAndWithAnAbortedRun() throws IOException {
        Path dead = changed("dead", "PH1-01", text -> {
            String[] cell = text.split(",", -1);
            if (cell[1].equals("standard") && cell[4].equals("potential") && cell[3].equals("2")) {
                cell[5] = "0";
            }
            return String.join(",", cell);
        });
        assertThat(Files.mismatch(
                        dead.resolve("readings").resolve("PH1-01.csv"),
                        good.resolve("readings").resolve("PH1-01.csv")))
                .isNotNegative();
        int status = serve(DayJudge::judge, dead);
        assertThat(status).as(err.toString()).isIn(Status.DONE, Status.HELD);
        assertThat(out.toString()).contains("Tenmesh is at");

        data = temp.resolve("another");
        out.getBuffer().setLength(0);
        boolean[] head = {true};
        Path aborted = changed("aborted", "LOI1-01", text -> {
            boolean first = head[0];
            head[0] = false;
            return first ? text : "";
        });
        status = serve(DayJudge::judge, aborted);
        assertThat(out + err.toString()).contains("Tenmesh is at");
        assertThat(status).as(err.toString()).isIn(Status.DONE, Status.HELD, Status.UNUSABLE);
    }

    @Test
    void theFirstOfTwoDaysTakenAtOneStartIsJudgedAndKept() throws IOException {
        Path second = temp.resolve("second");
        assertThat(Main.run(
                        console,
                        "simulate",
                        "--seed",
                        "4",
                        "--soils",
                        "60",
                        "--date",
                        "2026-11-26",
                        "--out",
                        second.toString()))
                .isZero();
        assertThat(serve(DayJudge::judge, good, second)).as(err.toString()).isZero();
        try (Store store = Databases.open(StoreSettings.embedded(data.resolve("database")), Clock.systemUTC())) {
            assertThat(store.days()).hasSize(2);
            // The later one may still be on its way to the store when the server stops.
            DayEntry first = store.days().get(1);
            assertThat(store.judgementDigest(first.name())).isPresent();
            assertThat(store.judgement(first.name()).orElseThrow().judged().results())
                    .isNotEmpty();
        }
    }

    /** The runs of a redo, without samples.csv, standards.csv or laboratory.yaml. */
    @Test
    void aRedoOfTheNextDayNeedsItsRunsAlone() throws IOException {
        Path redo = Files.createDirectories(temp.resolve("redo"));
        List<String> runs = Files.readAllLines(good.resolve("runs.csv")).stream()
                .filter(line -> line.startsWith("run,") || line.startsWith("PH1-01,"))
                .map(line -> line.replace("2026-11-25T", "2026-11-26T"))
                .toList();
        assertThat(runs).hasSize(2);
        Files.write(redo.resolve("runs.csv"), runs);
        Files.createDirectories(redo.resolve("readings"));
        Files.write(
                redo.resolve("readings").resolve("PH1-01.csv"),
                Files.readAllLines(good.resolve("readings").resolve("PH1-01.csv")).stream()
                        .map(line -> line.replace("2026-11-25T", "2026-11-26T"))
                        .toList());

        assertThat(serve(DayJudge::judge, redo)).isEqualTo(Status.UNUSABLE);
        assertThat(err.toString()).contains("a lab number of samples.csv or controls.csv");

        int status = serve(DayJudge::judge, good, redo);
        assertThat(status).as(err.toString()).isIn(Status.DONE, Status.HELD);
        assertThat(out.toString()).contains("redo was taken as day 2026-11-26: 0 lab numbers");
        try (Store store = Databases.open(StoreSettings.embedded(data.resolve("database")), Clock.systemUTC())) {
            assertThat(store.days()).extracting(DayEntry::name).containsExactly("2026-11-26", "2026-11-25");
            DayEntry today = store.days().get(0);
            assertThat(today.soils()).isGreaterThanOrEqualTo(100);
            assertThat(store.judgement(today.name()).orElseThrow().judged().results())
                    .filteredOn(result -> !result.reported().isEmpty())
                    .isNotEmpty();
        }
    }
}
