package org.tenmesh.exchange.day;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.made.MadeLaboratory;
import org.tenmesh.exchange.file.Problem;

final class PolicyFileTest {
    private final List<Problem> problems = new ArrayList<>();

    private Optional<Policy> policy(String yaml) {
        return LaboratoryFile.parse("laboratory.yaml", yaml, Set::of, problems, "Nothing is taken")
                .map(Laboratory::policy);
    }

    @Test
    void takesChangedSettingsUnderTheirVersion() {
        Policy read = policy("policy:\n  version: strict\n  tray_evidence: 3\n  not_dry_water: [0.5, 1]\n")
                .orElseThrow();
        assertThat(problems).isEmpty();
        assertThat(read)
                .isEqualTo(Policy.defaults()
                        .named("strict")
                        .with(Setting.TRAY_EVIDENCE, 3)
                        .with(Setting.NOT_DRY_WATER, 0.5, 1));
    }

    @Test
    void namesTheNearestSettingAndItsRangeForAMisspeltOne() {
        Policy read = policy("policy:\n  version: strict\n  tray_evidense: 3\n").orElseThrow();
        assertThat(read).isEqualTo(Policy.defaults().named("strict"));
        assertThat(problems)
                .singleElement()
                .extracting(Problem::sentence)
                .asString()
                .contains(
                        "laboratory.yaml, line 3, policy.tray_evidense: found an unknown setting",
                        "nearest: tray_evidence, a number from 0 to 1.0e12");
    }

    @Test
    void refusesNumbersOutOfRangeAndNamesTheRange() {
        assertThat(policy("policy:\n  version: odd\n  control_false_alarm: 0.9\n"))
                .isEmpty();
        assertThat(policy("policy:\n  version: odd\n  retention_days: 2.5\n")).isEmpty();
        assertThat(policy("policy:\n  version: odd\n  tray_evidence: much\n")).isEmpty();
        assertThat(policy("policy:\n  version: odd\n  not_dry_water: []\n")).isEmpty();
        assertThat(policy("policy:\n  version: odd\n  soil_dilutions: [2, 10]\n"))
                .isEmpty();
        assertThat(problems)
                .extracting(Problem::sentence)
                .satisfiesExactly(
                        one -> assertThat(one)
                                .contains("line 3, policy.control_false_alarm: found 0.9, expected a number from"),
                        one -> assertThat(one).contains("found 2.5, expected a whole number from 0 to 36500 (days)"),
                        one -> assertThat(one).contains("found \"much\", expected a number"),
                        one -> assertThat(one).contains("expected a list of numbers from 0.001 to 50 (% of the soil)"),
                        one -> assertThat(one).contains("found 9 shares that add up to 1, expected one for each of 2"));
    }

    @Test
    void changedSettingsNeverPassUnderTheNameOfTheDefaults() {
        Policy read = policy("name: North\npolicy:\n  tray_evidence: 3\n").orElseThrow();
        assertThat(read.version()).isEqualTo("2026-11-01, changed");
        assertThat(read.number(Setting.TRAY_EVIDENCE)).isEqualTo(3);
        assertThat(problems)
                .singleElement()
                .extracting(Problem::sentence)
                .asString()
                .contains("policy.version: found no version, expected a name of its own");
        problems.clear();
        assertThat(policy("policy:\n  tray_evidence: 1.5\n")).contains(Policy.defaults());
        assertThat(problems).isEmpty();
    }

    @Test
    void writesWhatItReadsAgain(@TempDir Path folder) throws IOException {
        Policy own = Policy.defaults()
                .named("own")
                .with(Setting.STANDARD_LEAST_SCATTER_OF_LIMIT, 1.0 / 7)
                .with(Setting.NOT_DRY_WATER, 0.1, 0.2, 1.0 / 3)
                .with(Setting.GROUP_LEAST_SOILS, 50);
        Path file = folder.resolve("laboratory.yaml");
        LaboratoryFile.write(
                MadeLaboratory.named("North").invented(true).policy(own).laboratory(), file);
        assertThat(policy(Files.readString(file))).contains(own);
        assertThat(problems).isEmpty();
    }
}
