package org.tenmesh.app;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.app.laboratory.EmptyStore;
import org.tenmesh.app.line.Console;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.derived.DerivedSoils;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.redo.Standing;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.release.Releasing;
import org.tenmesh.exchange.day.DayFolder;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.store.Store;

/** A version of a method that begins later than a day changes nothing of that day, and one that begins earlier does. */
class LaterMethodTest {
    private static final String OM = "om-loi-360";

    @TempDir
    @SuppressWarnings("NullAway.Init")
    private Path temp;

    private final StringWriter said = new StringWriter();
    private final Console console = new Console(new PrintWriter(said), new PrintWriter(said), false);

    private int tenmesh(String... typed) {
        int status = Main.run(console, typed);
        console.out().flush();
        return status;
    }

    private String output(String... typed) {
        said.getBuffer().setLength(0);
        tenmesh(typed);
        return said.toString();
    }

    @BeforeEach
    void simulate() {
        assertThat(tenmesh("simulate", "--seed", "5", "--soils", "60", "--out", at("day")))
                .isZero();
    }

    private String at(String name) {
        return temp.resolve(name).toString();
    }

    /** A folder with the method halved from a date on. */
    private String halvedFrom(String date) throws IOException {
        Path folder = Files.createDirectories(temp.resolve("methods-" + date));
        String text = MethodFiles.shippedText(OM);
        String changed = text.replace("version: 2026-11-01", "version: " + date).replace("slope: 1.0", "slope: 0.5");
        assertThat(changed).contains("slope: 0.5", "version: " + date);
        Files.writeString(folder.resolve("later.yaml"), changed, StandardCharsets.UTF_8);
        return folder.toString();
    }

    private String results(String name) throws IOException {
        return Files.readString(temp.resolve(name).resolve("results.csv"), StandardCharsets.UTF_8)
                + Files.readString(temp.resolve(name).resolve("summary.json"), StandardCharsets.UTF_8);
    }

    @Test
    void changesNothingOfAnEarlierDayWhenItIsJudgedAndExplained() throws IOException {
        String later = halvedFrom("2031-01-01");
        tenmesh("judge", at("day"), "--out", at("plain"));
        tenmesh("judge", at("day"), "--out", at("later"), "--methods", later);
        assertThat(results("later")).isEqualTo(results("plain")).contains("\"om-loi-360\": \"2026-11-01\"");
        String soil = results("plain")
                .lines()
                .filter(line -> line.contains(",om-loi-360,OM,"))
                .findFirst()
                .orElseThrow()
                .split(",")[0];
        String explained = output("explain", at("day"), soil, OM, "OM");
        assertThat(explained).contains("method version 2026-11-01");
        assertThat(output("explain", at("day"), soil, OM, "OM", "--methods", later))
                .isEqualTo(explained);
    }

    @Test
    void anEarlierOneIsUsedAndNamed() throws IOException {
        tenmesh("judge", at("day"), "--out", at("plain"));
        tenmesh("judge", at("day"), "--out", at("own"), "--methods", halvedFrom("2026-11-10"));
        assertThat(results("own"))
                .isNotEqualTo(results("plain"))
                .contains("\"om-loi-360\": \"2026-11-10\"")
                .containsPattern("om-loi-360,OM,.*,2026-11-10,\n");
    }

    @Test
    void theListOfMethodsSaysThatItIsInTheFuture() throws IOException {
        assertThat(output("methods", halvedFrom("9999-01-01")))
                .contains("om-loi-360: the version of 9999-01-01 is in the future; until then the version of 2026-11-01"
                        + " holds");
    }

    @Test
    void aMethodThatBeginsLaterIsNamedAndItsRunLeftOut() throws IOException {
        Path folder = Files.createDirectories(temp.resolve("new"));
        Files.writeString(
                folder.resolve("new.yaml"),
                MethodFiles.shippedText(OM)
                        .replace("id: om-loi-360", "id: om-new")
                        .replace("version: 2026-11-01", "version: 2031-01-01"),
                StandardCharsets.UTF_8);
        Path runs = temp.resolve("day").resolve("runs.csv");
        Files.writeString(
                runs, Files.readString(runs, StandardCharsets.UTF_8).replace(OM, "om-new"), StandardCharsets.UTF_8);
        assertThat(output("judge", at("day"), "--out", at("out"), "--methods", folder.toString()))
                .contains("method om-new has no version for 2026-11-24; its first is of 2031-01-01");
    }

    @Test
    void changesNothingOfAReleasedDayWhenItIsVerifiedOrShown() throws IOException {
        String later = halvedFrom("2031-01-01");
        MethodBook book = MethodFiles.read(Path.of(later));
        Day day = DayFolder.read(temp.resolve("day")).day();
        JudgedDay plain = DayJudge.judge(day, MethodFiles.shipped());
        Standing standing = Standing.of(day, plain, MethodFiles.shipped());
        String submission = day.submissions().get(0).submission();
        List<Soil> soils = day.soils().stream()
                .filter(soil -> soil.submission().filter(submission::equals).isPresent())
                .toList();
        List<ReleasedResult> draft = Releasing.draft(day, soils, standing.standing(), plain, MethodFiles.shipped());
        assertThat(draft).extracting(ReleasedResult::methodVersion).containsOnly("2026-11-01");

        assertThat(DayJudge.judge(day, book)).isEqualTo(plain);
        Desk shown = new Desk(
                "day", 1, day, plain, book, List.of(), List.of(), day.date(), List.of(), List.of(), new DerivedSoils());
        soils.forEach(soil -> assertThat(shown.standing(soil.labNumber()))
                .allMatch(result ->
                        shown.methodOf(result).head().version().toString().equals("2026-11-01")));
        assertThat(Releasing.draft(day, soils, standing.standing(), plain, book))
                .isEqualTo(draft);

        Path data = temp.resolve("laboratory");
        try (Store store = EmptyStore.open(data.resolve("database"))) {
            store.take(day, "0".repeat(64), "test");
            store.release(
                    store.days().get(0).name(),
                    new Release(
                            submission,
                            1,
                            "A. Invented",
                            OffsetDateTime.parse("2026-11-26T08:00:00Z"),
                            "first",
                            draft));
        }
        String verified = output("verify", "--data", data.toString());
        assertThat(verified)
                .containsPattern("Released results computed again: [1-9]")
                .contains("Differences: 0");
        assertThat(output("verify", "--data", data.toString(), "--methods", later))
                .isEqualTo(verified);
    }
}
