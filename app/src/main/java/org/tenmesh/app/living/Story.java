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
 * @param benchBegins when the person at the bench signs in
 * @param benchTurn from one thing that is done at the bench to the next
 * @param firstLook when the bench first looks for orders
 * @param benchTakes how long the bench works on an order until the instrument begins
 * @param deeds what people do on the pages, unless a visitor did it before them
 */
record Story(
        Map<String, Duration> beginnings,
        Set<String> stopped,
        Duration calibratesAgainAfter,
        Duration benchBegins,
        Duration benchTurn,
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
        /** A client's worksheet is taken. */
        SHEET,
        /** Its box is there, and its bags are scanned. */
        BOX,
        /** The bags are counted and booked in. */
        BOOK_IN,
        /** An exception of another box is settled, and it is booked in. */
        SETTLE,
        /** What was booked in is laid on a rack. */
        LOAD,
        /** The rack of yesterday is dry, and is ground. */
        RACK_OUT,
        /** The rack of today begins to dry. */
        RACK_IN,
        /** Trays that waited for an instrument are taken up again. */
        LOOK_AGAIN,
        /** Portions of regulated soil are entered into its account. */
        ENTER,
        /** The soils of a tray that is released go to the shelf. */
        SHELVE,
        /** Orders what every open cause asks for. */
        ORDER,
        /** Signs everything that is complete and fit. */
        RELEASE
    }

    /** The usual day: a probe that cannot be calibrated, a plasma that drifts, two crucibles exchanged. */
    static Story usual() {
        return new Story(
                Map.of(
                        "LOI1-01", Duration.ofSeconds(24),
                        "PH1-01", Duration.ofSeconds(32),
                        "PH2-01", Duration.ofSeconds(35),
                        "ICP1-01", Duration.ofSeconds(40),
                        "ICP2-01", Duration.ofSeconds(46)),
                Set.of("PH2-01"),
                Duration.ofSeconds(60),
                Duration.ofSeconds(1),
                Duration.ofSeconds(2),
                Duration.ofSeconds(30),
                Duration.ofSeconds(45),
                Stream.of(
                                Stream.of(
                                        new Deed(Duration.ofSeconds(45), Kind.SHEET),
                                        new Deed(Duration.ofSeconds(75), Kind.BOX),
                                        new Deed(Duration.ofSeconds(105), Kind.BOOK_IN),
                                        new Deed(Duration.ofSeconds(135), Kind.SETTLE),
                                        new Deed(Duration.ofSeconds(165), Kind.LOAD),
                                        new Deed(Duration.ofSeconds(190), Kind.RACK_OUT),
                                        new Deed(Duration.ofSeconds(220), Kind.RACK_IN)),
                                again(Kind.LOOK_AGAIN, Duration.ofSeconds(60), Duration.ofSeconds(30)),
                                again(Kind.ENTER, Duration.ofSeconds(200), Duration.ofSeconds(150)),
                                again(Kind.ORDER, Duration.ofSeconds(240), Duration.ofSeconds(120)),
                                again(Kind.RELEASE, Duration.ofSeconds(480), Duration.ofSeconds(110)),
                                again(Kind.SHELVE, Duration.ofSeconds(500), Duration.ofSeconds(30)))
                        .flatMap(deeds -> deeds)
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
