package org.tenmesh.exchange.day;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.AcceptedFailures;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.judgement.ReportForms;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeLaboratory;
import org.tenmesh.core.made.MadeSoil;
import org.tenmesh.core.methods.Method;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.methods.MethodFiles;

public class DayFolderTest {
    @TempDir
    private Path folder;

    @Test
    void readsBackWhatItWrote() throws IOException {
        Day day = Days.of(700, 11);
        DayFolder.write(day, folder);
        DayReading read = DayFolder.read(folder);
        assertThat(read.problems()).isEmpty();
        assertThat(read.usable()).isTrue();
        assertSame(read.day(), day);
    }

    @Test
    void writesTheSameBytesForTheSameDay() throws IOException {
        DayFolder.write(Days.of(120, 3), folder.resolve("a"));
        DayFolder.write(DayFolder.read(folder.resolve("a")).day(), folder.resolve("b"));
        assertThat(contents(folder.resolve("b"))).isEqualTo(contents(folder.resolve("a")));
    }

    @Test
    void readsBackPackagesShortagesWaterAndTheRegionsOfAdvice() throws IOException {
        Day day = Days.of(12, 5);
        LabNumber first = day.soils().get(0).labNumber();
        Soil water = MadeSoil.numbered(new LabNumber("W-1"))
                .of(day.soils().get(0).submission().orElseThrow())
                .asking("water")
                .water()
                .soil();
        Laboratory plain = day.laboratory();
        Day asking = MadeDay.like(day)
                .laboratory(MadeLaboratory.like(plain)
                        .advice(region())
                        .register(Laboratory.OWN_REGISTER)
                        .acceptedFailures(new AcceptedFailures(true, false))
                        .reports(new ReportForms(
                                new ReportForm(ReportForm.Paper.LETTER, ReportForm.Layout.TABLE),
                                Map.of("Fen: \"Edge\"", ReportForm.defaults().with(ReportForm.Layout.SOIL_PAGES))))
                        .laboratory())
                .soils(Stream.concat(day.soils().stream(), Stream.of(water)).toList())
                .packages(List.of(
                        new TestPackage(
                                "standard",
                                "Standard, with base saturation",
                                List.of(
                                        new TestPackage.Asked("mehlich3-icp", List.of("P", "K")),
                                        new TestPackage.Asked("base-saturation", List.of()))),
                        new TestPackage("water", "Water", List.of(new TestPackage.Asked("paste-cations", List.of())))))
                .shortages(List.of(new Shortage(first, "mehlich3-icp")))
                .day();

        DayFolder.write(asking, folder);
        DayReading read = DayFolder.read(folder);

        assertThat(read.problems()).isEmpty();
        assertThat(read.day().packages()).isEqualTo(asking.packages());
        assertThat(read.day().shortages()).isEqualTo(asking.shortages());
        assertSame(read.day(), asking);
    }

    private static String region() {
        return MethodFiles.allShipped().stream()
                .flatMap(method -> method.regionalAdvice().stream())
                .map(advice -> advice.region())
                .sorted()
                .findFirst()
                .orElseThrow();
    }

    @Test
    void saysWhereAPackageIsWrong() throws IOException {
        Files.writeString(
                folder.resolve("packages.csv"),
                "package,title,method,analytes\na,A,mehlich3-icp,P;Xx\na,B,om-loi-360,\na,A,no-such,\n");
        Files.writeString(folder.resolve("shortages.csv"), "lab_number,method\nL9,om-loi-360\n");
        Files.writeString(folder.resolve("samples.csv"), "lab_number,matter\nL1,mud\n");
        Files.writeString(folder.resolve("laboratory.yaml"), "name: Ashgrove\nadvice: [Atlantis]\n");

        List<Problem> problems = DayFolder.read(folder).problems();

        assertThat(problems)
                .extracting(problem -> problem.file() + " " + problem.line() + " " + problem.column())
                .contains(
                        "packages.csv 2 analytes",
                        "packages.csv 3 title",
                        "packages.csv 4 method",
                        "samples.csv 2 matter",
                        "laboratory.yaml 2 advice");
    }

    @Test
    void leavesOutAPackageThatNoSoilCanServe() throws IOException {
        List<String> eleven = MethodFiles.allShipped().stream()
                .filter(method -> method.head().portion().isPresent())
                .collect(Collectors.toMap(
                        method -> method.head().portion().orElseThrow().name(), Method::id, (a, b) -> a, TreeMap::new))
                .values()
                .stream()
                .limit(11)
                .toList();
        StringBuilder text = new StringBuilder("package,title,method,analytes\ngood,Good,om-loi-360,\n");
        eleven.forEach(id -> text.append("all,All,").append(id).append(",\n"));
        text.append("none,None,organic-carbon,\n");
        Files.writeString(folder.resolve("packages.csv"), text);

        DayReading read = DayFolder.read(folder);

        assertThat(read.day().packages()).extracting(one -> one.name()).containsExactly("good");
        assertThat(read.problems())
                .filteredOn(problem -> problem.file().equals("packages.csv"))
                .extracting(Problem::sentence)
                .anySatisfy(said -> assertThat(said).contains("package all with 11 portions: ", "expected 1 to 10"))
                .anySatisfy(said -> assertThat(said).contains("package none with 0 portions"));
    }

    public static void assertSame(Day found, Day expected) {
        assertThat(found.laboratory()).isEqualTo(expected.laboratory());
        assertThat(found.submissions()).isEqualTo(expected.submissions());
        assertThat(found.soils()).isEqualTo(expected.soils());
        assertThat(found.trays()).isEqualTo(expected.trays());
        assertThat(found.controls()).isEqualTo(expected.controls());
        assertThat(found.materials()).isEqualTo(expected.materials());
        assertThat(found.standards()).isEqualTo(expected.standards());
        assertThat(found.runs()).hasSameSizeAs(expected.runs());
        for (int i = 0; i < found.runs().size(); i++) {
            var a = found.runs().get(i);
            var b = expected.runs().get(i);
            assertThat(List.of(a.run(), a.method(), a.instrument(), a.operator(), a.startedAt()))
                    .isEqualTo(List.of(b.run(), b.method(), b.instrument(), b.operator(), b.startedAt()));
            assertThat(Days.same(a.readings(), b.readings())).as(a.run()).isTrue();
        }
    }

    public static Map<String, String> contents(Path folder) throws IOException {
        Map<String, String> contents = new TreeMap<>();
        try (Stream<Path> files = Files.walk(folder)) {
            for (Path file : files.filter(Files::isRegularFile).toList()) {
                contents.put(folder.relativize(file).toString(), Files.readString(file));
            }
        }
        return contents;
    }
}
