package org.tenmesh.proof.power;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.simulator.Options;
import org.tenmesh.simulator.faults.Fault;

/**
 * The power study with few repeats: a judge that has gone blind, or cries wolf, fails here. Bounds lie well below what
 * {@code docs/validation} shows, so that chance does not reach them.
 */
class ShortPowerTest {
    private static final Study STUDY = new Study(6, 400, 7);

    private static Row row(String name) {
        return Rows.all().stream()
                .filter(row -> row.name().equals(name))
                .findFirst()
                .orElseThrow();
    }

    @ParameterizedTest
    @CsvSource(
            delimiter = '|',
            value = {
                "pH, trays exchanged, no key wells | 5",
                "organic matter, trays exchanged, no key wells | 5",
                "plasma, tray turned, no key wells | 6",
                "plasma, run shifted by one | 6",
                "plasma, neighbours of two fields exchanged | 4",
                "plasma, soil 40 % too little | 4",
                "plasma, diluted 5 times as far as recorded, first reading | 4",
                "another control soil in a hidden control's well | 5"
            })
    void namesWhatItNearlyAlwaysNames(String name, int atLeast) {
        Study.Counted counted = STUDY.count(row(name), Map.of());
        assertThat(counted.outcomes()).hasSize(6);
        assertThat(counted.told().count()).as(Figures.line(counted)).isGreaterThanOrEqualTo(atLeast);
        if (name.startsWith("another control soil")) {
            // Its own results never leave; nobody else's may be kept for it.
            assertThat(counted.further().orElseThrow()).isEqualTo(new Rate(6, 6));
        } else {
            assertThat(counted.held()).as(Figures.line(counted)).isGreaterThan(0.6);
        }
    }

    @Test
    void saysLittleOfDaysOnWhichNothingWentWrong() {
        CleanDays days = STUDY.clean(new Study.Where(400, Options.defaults(), List.of()), 6);
        assertThat(days.determinations()).isGreaterThan(6 * 400 * 14);
        assertThat(new Rate(days.unfit(), days.determinations()).share()).isLessThan(0.01);
        assertThat(days.redoCauses()).isLessThanOrEqualTo(9);
        for (String method : DayTable.METHODS) {
            // The judge's own statistic speaks against every tray that lies as it should.
            assertThat(days.threshold(CleanDays.key(CleanDays.TURNED, method), 0.01))
                    .isLessThan(1.5);
            assertThat(days.threshold(CleanDays.key(CleanDays.EXCHANGED, method), 0.01))
                    .isLessThan(0);
            assertThat(days.seen(CleanDays.key(CleanDays.NEIGHBOURS, method))).isGreaterThan(6 * 300);
        }
    }

    @Test
    void nobodyDoesBetterThanTheLimit() {
        Map<String, Limit.Known> limit = STUDY.limit(2, 1000);
        assertThat(limit.keySet()).containsExactlyInAnyOrderElementsOf(DayTable.METHODS);
        limit.forEach((method, known) -> {
            assertThat(known.turned(0.01)).isGreaterThan(0.97);
            // Two fields differ by more than two soils of one.
            assertThat(known.neighbours(false, 0.01)).isGreaterThan(known.neighbours(true, 0.01));
            assertThat(known.neighbours(true, 0.01)).isBetween(0.3, 0.95);
        });
        // Twelve elements tell more than one number does.
        assertThat(requireNonNull(limit.get("mehlich3-icp")).neighbours(true, 0.01))
                .isGreaterThan(requireNonNull(limit.get("om-loi-360")).neighbours(true, 0.01));
    }

    @Test
    void everyRowCanBePlantedAndEveryKindHasOne() {
        List<Row> rows = Rows.all();
        assertThat(rows.stream().map(row -> row.part() + row.name())).doesNotHaveDuplicates();
        assertThat(rows.stream()
                        .flatMap(row -> row.faults().apply(new Random(3)).stream())
                        .map(Fault::kind)
                        .distinct()
                        .sorted()
                        .toList())
                .containsExactlyElementsOf(Fault.kinds().stream().sorted().toList())
                .contains(CauseKind.TRAY_TURNED);
    }

    /** How many rows of each table were soils: examples/real-soils/README.md, counted there by another reader. */
    @Test
    void readsTheTablesThatAreShipped() throws IOException {
        RealTables.Read read = RealTables.read(List.of(Path.of("..", "examples", "real-soils", "tables")));
        assertThat(read.tables().stream().map(RealTables.Used::soils)).containsExactly(140, 28);
        assertThat(read.days()).hasSize(1);
    }

    @Test
    void theReportHoldsWhatWasCounted(@TempDir Path folder) throws IOException {
        Study small = new Study(2, 300, 11);
        Row turned = row("plasma, tray turned, no key wells");
        Row point = row("plasma, portion too small, %, 50");
        Row further = row("plasma, portion too small, %, 70");
        Study.Where where = Study.Where.of(turned, 300);
        CleanDays clean = small.clean(where, 2);
        List<Study.Counted> counted = List.of(
                small.count(turned, Map.of(where, clean)),
                small.count(point, Map.of()),
                small.count(further, Map.of()));
        new Report(new Measured(
                        small,
                        "0, commit 0",
                        "2026-11-25",
                        counted,
                        Map.of("arable", clean),
                        Map.of(where, clean),
                        Map.of(),
                        List.of(),
                        "turned|small"))
                .write(folder);
        assertThat(Files.readString(folder.resolve("README.md")))
                .contains("| plasma, tray turned, no key wells | 2 | ")
                .contains("![plasma, portion too small](plasma-portion-too-small.svg)")
                .contains("./tenmesh power --repeats 2 --soils 300 --seed 11 --only 'turned\\|small'`");
        assertThat(Files.readString(folder.resolve("plasma-portion-too-small.svg")))
                .startsWith("<svg ")
                .endsWith("</svg>\n");
        assertThat(Files.readAllLines(folder.resolve("power.csv")))
                .contains(String.format(
                        java.util.Locale.ROOT,
                        "\"%s\",\"plasma, tray turned, no key wells\",\"\",,named,%d,2,%.4f,%.4f,%.4f,",
                        Rows.EXCHANGES,
                        counted.get(0).named().count(),
                        counted.get(0).named().share(),
                        counted.get(0).named().low(),
                        counted.get(0).named().high()));
    }
}
