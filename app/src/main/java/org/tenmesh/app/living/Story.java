package org.tenmesh.app.living;

import java.time.Duration;
import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Stream;
import org.tenmesh.simulator.Options;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.faults.Fault;

/**
 * What happens when on the day that is played; times from its start, at the usual speed.
 *
 * @param beginnings when each run begins
 * @param stopped runs that end before their first soil, because somebody saw that their gate shut
 * @param calibratesAgainAfter how long after the beginning of such a run the next one begins
 * @param firstLook when the bench first looks for orders
 * @param benchTakes how long the bench works on an order until the instrument begins
 * @param deeds what people do on the pages, unless a visitor did it before them
 */
record Story(
        Map<String, Duration> beginnings,
        Set<String> stopped,
        Duration calibratesAgainAfter,
        Duration firstLook,
        Duration benchTakes,
        List<Deed> deeds) {
    private static final int SOILS = 240;
    private static final int SEED = 20_261_130;
    private static final Duration LAST_DEED = Duration.ofMinutes(20);

    Story {
        beginnings = Map.copyOf(beginnings);
        stopped = Set.copyOf(stopped);
        deeds = List.copyOf(deeds);
    }

    /** Something that a person of the laboratory does. */
    record Deed(Duration at, Kind kind) {}

    /** What it is. */
    enum Kind {
        /** Orders what every open cause asks for. */
        ORDER,
        /** Signs everything that is complete and fit. */
        RELEASE
    }

    /** The usual day: a probe that cannot be calibrated, a plasma that drifts, two crucibles exchanged. */
    static Story usual() {
        return new Story(
                Map.of(
                        "LOI1-01", Duration.ofSeconds(4),
                        "PH1-01", Duration.ofSeconds(12),
                        "PH2-01", Duration.ofSeconds(15),
                        "ICP1-01", Duration.ofSeconds(20),
                        "ICP2-01", Duration.ofSeconds(26)),
                Set.of("PH2-01"),
                Duration.ofSeconds(60),
                Duration.ofSeconds(30),
                Duration.ofSeconds(45),
                Stream.concat(
                                again(Kind.ORDER, Duration.ofSeconds(240), Duration.ofSeconds(120)),
                                again(Kind.RELEASE, Duration.ofSeconds(480), Duration.ofSeconds(110)))
                        .toList());
    }

    /** The same deed again and again: what it finds nothing to do for, it leaves. */
    private static Stream<Deed> again(Kind kind, Duration first, Duration every) {
        return Stream.iterate(first, at -> at.compareTo(LAST_DEED) < 0, at -> at.plus(every))
                .map(at -> new Deed(at, kind));
    }

    /** The soils and the faults of the usual day. */
    static Scenario scenario(LocalDate date) {
        Options usual = Options.defaults();
        return new Scenario(
                SEED,
                SOILS,
                List.of(
                        Fault.parse("calibration-rejected@PH2-01"),
                        Fault.parse("drift@ICP1-01"),
                        Fault.parse("weighing-impossible@LOI1-01")),
                date,
                new Options(false, false, usual.balanceDecimals(), usual.zone(), false));
    }

    /** When a run begins; one that the story does not name begins at once. */
    Duration begins(String run) {
        return beginnings.getOrDefault(run, Duration.ZERO);
    }

    boolean stopsAtItsGate(String run) {
        return stopped.contains(run);
    }
}
