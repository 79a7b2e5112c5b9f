package org.tenmesh.proof.coverage;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class CleanDayStudyTest {
    @Test
    void judgesACleanDayOfEveryMethodAndComparesWithTheTruth() {
        CleanTally tally = CleanDayStudy.study(1, 300, 3, 20, false);
        assertThat(tally.crashes()).isZero();
        assertThat(tally.text())
                .contains("## Control soils known from 20 earlier runs")
                .contains("1 days,", "days that could not be judged: 0")
                // Two standard deviations, as far as 300 soils and 20 runs can tell.
                .containsPattern("covers the true value of 9[3-9]\\.\\d % of [34],\\d{3} fit results");
    }
}
