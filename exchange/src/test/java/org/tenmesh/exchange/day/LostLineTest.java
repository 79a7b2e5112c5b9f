package org.tenmesh.exchange.day;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.LostLine;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.methods.MethodFiles;

/** A line that cannot be taken costs that line, is told, and holds what rests on it; everything else is taken. */
class LostLineTest {
    private static final Path WHOLE = Path.of("..", "examples", "faulty-days", "nothing-wrong");

    private static DayReading with(Path folder, String file, String old, String now) throws IOException {
        try (Stream<Path> all = Files.walk(WHOLE)) {
            for (Path one : all.filter(Files::isRegularFile).toList()) {
                Path copy = folder.resolve(WHOLE.relativize(one).toString());
                Files.createDirectories(copy.getParent());
                Files.copy(one, copy);
            }
        }
        Path changed = folder.resolve(file);
        String text = Files.readString(changed);
        assertThat(text).contains(old);
        Files.writeString(changed, text.replace(old, now));
        DayReading reading = DayFolder.read(folder);
        assertThat(reading.rows()).as("the account adds up").allMatch(RowsOfFile::addsUp);
        return reading;
    }

    private static JudgedDay judged(DayReading reading) {
        return DayJudge.judge(reading.day(), MethodFiles.shipped());
    }

    private static boolean heldForIt(JudgedDay judged, Result result) {
        return result.verdict() != Verdict.FIT
                && judged.causes().stream()
                        .filter(cause -> cause.kind() == CauseKind.CONTROL_MISSING)
                        .anyMatch(cause -> result.causes().contains(cause.id()));
    }

    private static void holdsOnly(DayReading reading, String method, String analyte) {
        JudgedDay judged = judged(reading);
        JudgedDay sound = judged(DayFolder.read(WHOLE));
        assertThat(judged.results()).hasSameSizeAs(sound.results());
        Map<String, Verdict> before = new HashMap<>();
        sound.results()
                .forEach(one -> before.put(one.labNumber() + one.method() + one.analyte() + one.run(), one.verdict()));
        for (Result one : judged.results()) {
            boolean touched = one.method().equals(method)
                    && (analyte.isEmpty() || one.analyte().equals(analyte));
            if (touched) {
                assertThat(heldForIt(judged, one)).as(one.toString()).isTrue();
            } else {
                assertThat(one.verdict())
                        .as(one.toString())
                        .isEqualTo(before.get(one.labNumber() + one.method() + one.analyte() + one.run()));
            }
        }
    }

    @Test
    void aMaterialHoldsWhatItGuardsAndNothingElse(@TempDir Path folder) throws IOException {
        DayReading reading = with(folder, "materials.csv", "mehlich3-icp,P,31.0,1.55", "mehlich3-icp,P,31.0,1.5.5");
        assertThat(reading.problems())
                .extracting(Problem::sentence)
                .containsExactly(
                        "materials.csv, line 4, sd: found \"1.5.5\", expected a number with . as the decimal mark."
                                + " This line is left out and the results that rest on it are held; the other lines are taken.");
        assertThat(reading.day().materials()).hasSize(13);
        assertThat(reading.day().lost())
                .containsExactly(new LostLine(
                        "materials.csv",
                        4,
                        LostLine.Kind.MATERIAL,
                        Optional.of("ASH-1"),
                        Optional.of("mehlich3-icp"),
                        Optional.of("P")));
        assertThat(reading.day().runs()).hasSize(3);
        holdsOnly(reading, "mehlich3-icp", "P");
    }

    @Test
    void aMaterialOfAMethodThatIsNotKnownMayBeOfAnyWithThatAnalyte(@TempDir Path folder) throws IOException {
        holdsOnly(with(folder, "materials.csv", "mehlich3-icp,P,31.0", "mehlich-icp,P,31.0"), "mehlich3-icp", "P");
    }

    @Test
    void aMaterialOfAnAnalyteThatIsNotKnownMayBeOfAnyOfItsMethod(@TempDir Path folder) throws IOException {
        holdsOnly(with(folder, "materials.csv", "mehlich3-icp,P,31.0", "mehlich3-icp,Q,31.0"), "mehlich3-icp", "");
    }

    @Test
    void aMaterialWithoutANameMayBeAny(@TempDir Path folder) throws IOException {
        DayReading reading = with(folder, "materials.csv", "ASH-1,mehlich3-icp,P,31.0", ",mehlich3-icp,P,31.0");
        assertThat(reading.day().runs()).hasSize(3);
        holdsOnly(reading, "mehlich3-icp", "P");
    }

    @Test
    void aStandardHoldsWhatIsReadByIt(@TempDir Path folder) throws IOException {
        DayReading reading = with(folder, "standards.csv", "WS-4,K,20,", "WS-4,K,-20,");
        assertThat(reading.problems()).hasSize(1);
        assertThat(reading.problems().get(0).line()).isEqualTo(44);
        holdsOnly(reading, "mehlich3-icp", "K");
    }

    @Test
    void aBufferWithTwoContentsIsTakenWithNeither(@TempDir Path folder) throws IOException {
        DayReading reading = with(
                folder,
                "standards.csv",
                "ph-water-1-1,7.00,pH,7.00,[pH],,\n",
                "ph-water-1-1,7.00,pH,7.00,[pH],,\nph-water-1-1,7.00,pH,6.86,[pH],,\n");
        assertThat(reading.problems())
                .extracting(Problem::consequence)
                .containsExactly("Both lines are left out and the results that rest on it are held;"
                        + " the other lines are taken");
        assertThat(reading.day().standards()).noneMatch(one -> one.standard().equals("7.00"));
        holdsOnly(reading, "ph-water-1-1", "");
    }

    @Test
    void aLineTwiceInTheSameWordsIsTakenOnceAndHoldsNothing(@TempDir Path folder) throws IOException {
        String line = "ph-water-1-1,7.00,pH,7.00,[pH],,\n";
        DayReading reading = with(folder, "standards.csv", line, line + line);
        assertThat(reading.problems())
                .extracting(Problem::consequence)
                .containsExactly("Both lines say the same; this one is left out, the first is taken");
        assertThat(reading.day().lost()).isEmpty();
        assertThat(reading.day().standards())
                .isEqualTo(DayFolder.read(WHOLE).day().standards());
    }

    @Test
    void aLineWithADecimalCommaCostsItself(@TempDir Path folder) throws IOException {
        DayReading reading = with(folder, "materials.csv", "mehlich3-icp,Zn,3.2,0.16", "mehlich3-icp,Zn,3,2,0.16");
        assertThat(reading.problems())
                .extracting(Problem::found, Problem::line)
                .containsExactly(org.assertj.core.groups.Tuple.tuple("8 fields", 14));
        assertThat(reading.day().materials()).hasSize(13);
        // Which material it was about cannot be told.
        assertThat(judged(reading).results()).isNotEmpty().allMatch(one -> one.verdict() != Verdict.FIT);
    }

    @Test
    void aHiddenControlOfAnUnknownMaterialIsNoSoil(@TempDir Path folder) throws IOException {
        DayReading reading = with(folder, "controls.csv", "ASH-1", "ASH-9");
        LabNumber hidden = new LabNumber("26329-0005-Y");
        assertThat(reading.day().controls()).containsOnlyKeys(hidden);
        JudgedDay judged = judged(reading);
        assertThat(judged.results()).isNotEmpty().allMatch(one -> heldForIt(judged, one));
        assertThat(judged.causes())
                .as("evidence never names a hidden control")
                .noneMatch(cause -> cause.evidence().contains(hidden.text()));
    }

    @Test
    void aSoilWithoutItsLineIsHeldAlone(@TempDir Path folder) throws IOException {
        DayReading reading =
                with(folder, "samples.csv", "26329-0003-1,S-1,3,Field 3,0,15", "26329-0003-1,S-1,3,Field 3,0,x");
        LabNumber lab = new LabNumber("26329-0003-1");
        JudgedDay judged = judged(reading);
        assertThat(judged.results())
                .isNotEmpty()
                .allMatch(one -> one.labNumber().equals(lab) == heldForIt(judged, one));
    }

    @Test
    void aMethodOfAPackageCostsThatMethodOnly(@TempDir Path folder) throws IOException {
        DayReading reading = with(folder, "samples.csv", "", "");
        assertThat(reading.problems()).isEmpty();
        Files.writeString(
                folder.resolve("packages.csv"),
                "package,title,method,analytes\nstandard,Routine,ph-water-1-1,\nstandard,Routine,om-loi-36,\n");
        DayReading again = DayFolder.read(folder);
        assertThat(again.problems())
                .extracting(Problem::sentence)
                .containsExactly(
                        "packages.csv, line 3, method: found \"om-loi-36\", expected a method that tenmesh methods"
                                + " lists, such as om-loi-360. This line is left out, so nothing that it asks for is calculated or"
                                + " missed; the other lines are taken.");
        assertThat(again.day().packages()).hasSize(1);
        assertThat(again.day().packages().get(0).asked()).hasSize(1);
    }
}
