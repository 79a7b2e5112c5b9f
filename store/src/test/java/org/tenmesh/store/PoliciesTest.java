package org.tenmesh.store;

import static org.assertj.core.api.Assertions.assertThat;

import java.lang.reflect.RecordComponent;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.judgement.Policy;

final class PoliciesTest {
    @Test
    void readsALimitThatIsNotThereAsItsDefault() {
        assertThat(Policies.of(List.of(), List.of())).isEqualTo(Policy.defaults());
        Policy later = Policies.of(List.of("a-limit-given-up", "version"), List.of("7", "2031-01-01"));
        assertThat(later.version()).isEqualTo("2031-01-01");
        assertThat(later.retentionDays()).isEqualTo(Policy.defaults().retentionDays());
    }

    @Test
    void writesEveryLimit() {
        String json = Policies.json(Policy.defaults());
        for (RecordComponent limit : Arrays.asList(Policy.class.getRecordComponents())) {
            assertThat(json).contains("\"" + limit.getName() + "\":\"");
        }
    }
}
