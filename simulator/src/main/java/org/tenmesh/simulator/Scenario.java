package org.tenmesh.simulator;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.simulator.faults.Fault;

/**
 * Which day to make.
 *
 * @param seed decides everything that is left to chance
 * @param soils clients' soils, hidden controls come on top; 1 to 90,000
 * @param faults what goes wrong
 * @param date the laboratory day
 * @param options how the laboratory works
 */
public record Scenario(long seed, int soils, List<Fault> faults, LocalDate date, Options options) {
    public Scenario {
        faults = List.copyOf(faults);
        if (soils < 1 || soils > 90_000) {
            throw new IllegalArgumentException("a day has 1 to 90,000 soils, found " + soils);
        }
    }

    /** A day without faults. */
    public static Scenario of(long seed, int soils, LocalDate date) {
        return new Scenario(seed, soils, List.of(), date, Options.defaults());
    }

    /**
     * The day that is shown first: 600 soils, four things gone wrong, the last runs still to come.
     *
     * @param date of the day; only dates and lab numbers depend on it
     */
    public static Scenario demonstration(LocalDate date) {
        Options usual = Options.defaults();
        return new Scenario(
                20_261_125,
                600,
                List.of(
                        Fault.of(CauseKind.DRIFT),
                        Fault.of(CauseKind.CALIBRATION_REJECTED),
                        Fault.of(CauseKind.CONTROL_FAILED),
                        Fault.of(CauseKind.WEIGHING_IMPOSSIBLE)),
                date,
                new Options(usual.metersGivePh(), true, usual.balanceDecimals(), usual.zone(), true));
    }

    /** The same laboratory and soils on a day when all goes well and everything is read. */
    public static Scenario cleanDemonstration() {
        Options usual = Options.defaults();
        return new Scenario(
                20_261_125,
                600,
                List.of(),
                LocalDate.of(2026, 11, 25),
                new Options(usual.metersGivePh(), false, usual.balanceDecimals(), usual.zone(), true));
    }

    /** This day in a laboratory that works otherwise. */
    public Scenario with(Options other) {
        return new Scenario(seed, soils, faults, date, other);
    }

    /** This day with one more fault. */
    public Scenario with(Fault fault) {
        List<Fault> all = new ArrayList<>(faults);
        all.add(fault);
        return new Scenario(seed, soils, all, date, options);
    }
}
