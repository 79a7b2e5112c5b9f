package org.tenmesh.simulator;

import static java.util.stream.Collectors.averagingDouble;
import static java.util.stream.Collectors.groupingBy;
import static java.util.stream.Collectors.summingDouble;
import static org.assertj.core.api.Assertions.assertThat;

import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.exchange.methods.MethodFiles;
import org.tenmesh.simulator.soils.Extract;

/** Control soils of the invented laboratory scatter between runs as it was told that they do. Else its limits and uncertainties flatter nobody or everybody. */
class SpreadTest {
    private static final int DAYS = 20;
    private static final MethodBook METHODS = MethodFiles.shipped();

    @Test
    void isWhatTheLaboratoryWasTold() {
        Map<String, List<Double>> meanSquares = new TreeMap<>();
        for (long seed = 900; seed < 900 + DAYS; seed++) {
            controls(seed).stream()
                    .filter(value -> way(value.method()).isPresent())
                    .collect(groupingBy(
                            value -> way(value.method()).orElseThrow(),
                            averagingDouble(value -> value.z() * value.z())))
                    .forEach((way, meanSquare) -> meanSquares
                            .computeIfAbsent(way, one -> new ArrayList<>())
                            .add(meanSquare));
        }
        assertThat(meanSquares).hasSize(5);
        meanSquares.forEach((way, days) -> {
            double mean = days.stream().collect(averagingDouble(one -> one));
            double variance =
                    days.stream().collect(summingDouble(one -> (one - mean) * (one - mean))) / (days.size() - 1);
            // Values of one run share its calibration: what counts is how far the days differ.
            double standardError = Math.sqrt(variance / days.size());
            assertThat(standardError).as("%s: enough days to tell", way).isLessThan(0.12);
            assertThat((mean - 1) / standardError)
                    .as("%s: mean square of z %.3f ± %.3f, expected 1", way, mean, standardError)
                    .isBetween(-3.0, 3.0);
        });
    }

    /** A day without faults of a laboratory that knows its control soils from so many runs that only true spreads count. */
    private static List<ControlValue> controls(long seed) {
        Options options =
                new Options(false, false, 4, ZoneId.of("Europe/Dublin"), true).knowing(new ControlsKnown(1000, seed));
        SimulatedDay day = Simulator.simulate(new Scenario(seed, 400, List.of(), LocalDate.of(2026, 11, 25), options));
        return DayJudge.judge(day.day(), METHODS).controlValues();
    }

    /** The ways of reading whose spread between runs the simulator states as measured; empty for others. */
    private static Optional<String> way(String method) {
        return switch (method) {
            case "mehlich3-icp" -> Optional.of("plasma, Mehlich-3 weighed");
            case "om-loi-360" -> Optional.of("ignition");
            case "ph-water-1-1" -> Optional.of("pH in water");
            default ->
                Extract.ALL.stream()
                        .filter(extract -> extract.method().equals(method))
                        .map(extract -> extract.flow() ? "flow" : "plasma, other extracts")
                        .findAny();
        };
    }
}
