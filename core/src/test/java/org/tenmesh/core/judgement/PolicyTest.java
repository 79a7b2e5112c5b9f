package org.tenmesh.core.judgement;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

final class PolicyTest {
    private static final Path SOURCES = Path.of("src/main/java/org/tenmesh/core");

    @ParameterizedTest
    @EnumSource(Setting.class)
    void everySettingHasUnitReasonAndADefaultInsideItsRange(Setting setting) {
        assertThat(setting.unit()).isNotBlank();
        assertThat(setting.reason()).hasSizeGreaterThan(20).doesNotEndWith(".");
        assertThat(setting.least()).isLessThan(setting.most());
        assertThat(setting.allows(setting.byDefault())).isTrue();
        assertThat(setting.kind() == Setting.Kind.LIST || setting.byDefault().size() == 1)
                .isTrue();
        assertThat(Setting.named(setting.key())).contains(setting);
    }

    /** Settings for the shelf, the racks, lots and equipment, and the reading of day folders, which are read there. */
    private static final Set<Setting> READ_ELSEWHERE = EnumSet.of(
            Setting.RETENTION_DAYS,
            Setting.POSSIBLE_DEPTH,
            Setting.POSSIBLE_LAYER,
            Setting.POSSIBLE_START_APART,
            Setting.POSSIBLE_RUN_LENGTH,
            Setting.POSSIBLE_PAUSE,
            Setting.POSSIBLE_DAYS_APART,
            Setting.POSSIBLE_RUN_DAYS_APART,
            Setting.DRY_LOSS,
            Setting.DRY_HOURS_BETWEEN,
            Setting.DRY_MOST_TEMPERATURE,
            Setting.REGULATED_GONE,
            Setting.REGULATED_DAYS,
            Setting.LOT_EXPIRED,
            Setting.EQUIPMENT_OVERDUE,
            Setting.EQUIPMENT_CHECK_FAILED,
            Setting.EQUIPMENT_OUT_OF_SERVICE);

    private static final String JUDGE = readers(judge());
    private static final String ELSEWHERE = readers(elsewhere());

    /** A setting that nothing reads would promise what it does not do. */
    @ParameterizedTest
    @EnumSource(Setting.class)
    void everySettingIsRead(Setting setting) {
        String all = READ_ELSEWHERE.contains(setting) ? ELSEWHERE : JUDGE;
        assertThat(all).contains("Setting." + setting.name() + ")");
    }

    /** What decides is a setting; a number that stays in a class must be one that decides nothing. */
    @Test
    void noClassOfTheJudgeKeepsAChoiceOfItsOwn() {
        TreeSet<String> choices = new TreeSet<>();
        judge().forEach((file, text) -> text.lines()
                .filter(line -> line.contains("(choice"))
                .forEach(line -> choices.add(file + ":" + line.strip())));
        assertThat(choices).isEmpty();
    }

    @Test
    void refusesANumberOutOfItsRangeAndNamesTheRange() {
        Policy policy = Policy.defaults();
        assertThatThrownBy(() -> policy.with(Setting.CONTROL_FALSE_ALARM, 0.7))
                .isInstanceOf(IllegalArgumentException.class)
                .hasMessageContaining(
                        "control_false_alarm: found [0.7], expected a number from 1.0e-9 to 0.4999 (chance)");
        assertThatThrownBy(() -> policy.with(Setting.RETENTION_DAYS, 1.5)).hasMessageContaining("a whole number");
        assertThatThrownBy(() -> policy.with(Setting.TRAY_EVIDENCE, Double.NaN)).hasMessageContaining("found [NaN]");
        assertThatThrownBy(() -> policy.with(Setting.TRAY_EVIDENCE, 1, 2)).hasMessageContaining("found [1.0, 2.0]");
        assertThatThrownBy(() -> policy.with(Setting.NOT_DRY_WATER)).hasMessageContaining("a list of numbers");
    }

    @Test
    void refusesSettingsThatDoNotAgree() {
        assertThatThrownBy(() -> Policy.defaults().with(Setting.SOIL_DILUTIONS, 2, 10))
                .hasMessageContaining(
                        "soil_dilution_shares: found 9 shares that add up to 1, expected one for each of 2");
        assertThatThrownBy(() -> Policy.defaults().with(Setting.NOT_DRY_MOST_SOILS, 2))
                .hasMessageContaining("not_dry_most_soils");
    }

    @Test
    void namesWhatDiffersFromTheDefaultsAndNothingElse() {
        assertThat(Policy.defaults().changes()).isEmpty();
        Policy own = Policy.defaults()
                .named("2027-01-01")
                .with(Setting.TRAY_EVIDENCE, 3)
                .with(Setting.REDO_MARGIN, 1.5);
        assertThat(own.changes()).isEqualTo(Map.of(Setting.TRAY_EVIDENCE, List.of(3.0)));
        assertThat(own.version()).isEqualTo("2027-01-01");
    }

    /** Every file but those that declare the settings. */
    private static String readers(Map<String, String> files) {
        return files.entrySet().stream()
                .filter(file -> !file.getKey().endsWith("Setting.java")
                        && !file.getKey().endsWith("/Policy.java"))
                .map(Map.Entry::getValue)
                .collect(Collectors.joining());
    }

    private static Map<String, String> judge() {
        try (Stream<Path> files = Stream.of("agreement", "judgement", "causes", "redo", "planning")
                .flatMap(folder -> list(SOURCES.resolve(folder)))) {
            return files.collect(
                    Collectors.toMap(file -> SOURCES.relativize(file).toString(), PolicyTest::text));
        }
    }

    /** The sources of the laboratory's work beside the judge, in this module and those that use it. */
    private static Map<String, String> elsewhere() {
        Map<String, String> all = new TreeMap<>();
        for (Path root : List.of(
                SOURCES,
                Path.of("../exchange/src/main/java"),
                Path.of("../store/src/main/java"),
                Path.of("../web/src/main/java"))) {
            try (Stream<Path> files = Files.walk(root)) {
                files.filter(file -> file.toString().endsWith(".java"))
                        .forEach(file -> all.put(file.toString(), text(file)));
            } catch (IOException e) {
                throw new IllegalStateException(root.toString(), e);
            }
        }
        return all;
    }

    private static Stream<Path> list(Path folder) {
        return Arrays.stream(folder.toFile().listFiles()).map(file -> file.toPath());
    }

    private static String text(Path file) {
        try {
            return Files.readString(file);
        } catch (IOException e) {
            throw new IllegalStateException(file.toString(), e);
        }
    }
}
