package org.tenmesh.store.days;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;

final class PoliciesTest {
    @Test
    void readsASettingThatIsNotThereAsItsDefault() {
        assertThat(Policies.of(List.of(), List.of())).isEqualTo(Policy.defaults());
        Policy later = Policies.of(List.of("a_setting_given_up", "version"), List.of("7", "2031-01-01"));
        assertThat(later).isEqualTo(Policy.defaults().named("2031-01-01"));
    }

    @Test
    void readsWhatVersion01Stored() {
        Policy read = Policies.of(
                List.of("controlFalseAlarm", "retentionDays", "version"), List.of("0.005", "35", "2026-11-02"));
        assertThat(read.version()).isEqualTo("2026-11-02");
        assertThat(read.number(Setting.CONTROL_FALSE_ALARM)).isEqualTo(0.005);
        assertThat(read.whole(Setting.RETENTION_DAYS)).isEqualTo(35);
        assertThat(read.changes()).hasSize(2);
    }

    @Test
    void writesEverySettingSoThatOtherDefaultsChangeNothing() {
        String json = Policies.json(Policy.defaults().with(Setting.TRAY_EVIDENCE, 7));
        for (Setting setting : Setting.values()) {
            assertThat(json).contains("\"" + setting.key() + "\":\"");
        }
        assertThat(json).contains("\"tray_evidence\":\"7.0\"", "\"not_dry_water\":\"0.3 0.6 1.2\"");
    }
}
