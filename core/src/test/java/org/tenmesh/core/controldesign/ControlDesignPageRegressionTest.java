package org.tenmesh.core.controldesign;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.quantity.Significant;

/** The figures in docs/control-design.md are those the program works out. */
class ControlDesignPageRegressionTest {
    private static final Path PAGE = Path.of("..", "docs", "control-design.md");

    private static String placements() {
        StringBuilder text = new StringBuilder(
                "| Placing | Soils to the next control | Soils in doubt, longest | Best guess of the next place |\n|---|---|---|---|\n");
        for (Placement placement : List.of(
                Placement.every(50),
                Placement.moved(50, 6),
                Placement.inBlocks(50),
                Placement.constantChance(50, 100),
                Placement.of(ControlDesign.rules(50)))) {
            text.append("| ")
                    .append(placement.name())
                    .append(" | ")
                    .append(Significant.text(placement.meanWait(), 3))
                    .append(" | ")
                    .append(placement.longestDoubt())
                    .append(" | ")
                    .append(Significant.text(100 * placement.bestGuess(), 3))
                    .append(" % |\n");
        }
        return text.toString();
    }

    private static String released(int interval, double allowed) {
        StringBuilder text = new StringBuilder(
                "| Shift | Each control by itself | The mean of every four | A moving average |\n|---|---|---|---|\n");
        for (double shift : new double[] {0.5, 1, 1.5, 2, 3, 4, 5}) {
            ControlDesign.Row row = ControlDesign.of(new ControlDesign.Question(
                            4000, shift, allowed > 0 ? OptionalDouble.of(allowed) : OptionalDouble.empty(), 0.0005, 1))
                    .rows()
                    .stream()
                    .filter(one -> one.interval() == interval)
                    .findFirst()
                    .orElseThrow();
            text.append("| ")
                    .append(Significant.text(shift, 2))
                    .append(" | ")
                    .append(Significant.text(row.single().released(), 3))
                    .append(" | ")
                    .append(Significant.text(row.mean().released(), 3))
                    .append(" | ")
                    .append(Significant.text(row.average().released(), 3))
                    .append(" |\n");
        }
        return text.toString();
    }

    @Test
    void thePageHoldsTheFiguresOfTheProgram() throws Exception {
        String page = Files.readString(PAGE, StandardCharsets.UTF_8);
        assertThat(page).contains(placements(), released(50, 0), released(50, 4));
    }

    @Test
    void thePageHoldsTheChancesOfBlunders() throws Exception {
        StringBuilder text = new StringBuilder("| Blunders | Chance that a control is touched |\n|---|---|\n");
        for (int blunders : new int[] {1, 12, 60}) {
            text.append("| ")
                    .append(blunders)
                    .append(" | ")
                    .append(Significant.text(ControlDesign.blundersTouchControl(3060, 60, blunders), 3))
                    .append(" |\n");
        }
        assertThat(Files.readString(PAGE, StandardCharsets.UTF_8)).contains(text.toString());
    }
}
