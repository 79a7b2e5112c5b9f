package org.tenmesh.store.judged;

import java.time.Instant;
import java.util.Map;
import java.util.Optional;
import org.jdbi.v3.core.Jdbi;
import org.tenmesh.core.causes.EarlierSoils;
import org.tenmesh.core.charts.ControlHistory;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.store.days.DayLoading;
import org.tenmesh.store.days.Days;
import org.tenmesh.store.days.ReadDay;

/**
 * What only the quality database user can read. Whoever holds this can tell a hidden control: it is for the judge and
 * for people of quality, never for a page of the bench. May be used by several threads.
 */
public final class Sealed {
    private final Jdbi quality;

    public Sealed(Jdbi quality) {
        this.quality = quality;
    }

    /** The day with the key of its hidden controls, as the judge needs it. */
    public Optional<Day> dayWithControls(String name) {
        return DayLoading.load(quality, name, true);
    }

    /**
     * The same, reading only what is not known.
     *
     * @param before the day as it was read before
     */
    public Optional<ReadDay> dayWithControls(String name, Optional<ReadDay> before) {
        return DayLoading.load(quality, name, true, before);
    }

    /** A digest of what is kept of all other days: while it is the same, neither their control values nor their soils' results have changed. */
    public String keptOfOthers(String name) {
        return Judgements.keptOfOthers(quality, name);
    }

    /** Which lab numbers of the day are hidden controls, and of which material; empty for an unknown day. */
    public Map<LabNumber, String> controls(String day) {
        return quality.withHandle(handle ->
                Days.id(handle, day).map(id -> DayLoading.controls(handle, id)).orElse(Map.of()));
    }

    /**
     * What control soils gave on other days whose judgement is kept, with the runs they were read in.
     *
     * @param except name of the day that is left out: the one to be judged
     * @param since runs that started before this moment are left out
     */
    public ControlHistory controlHistory(String except, Instant since) {
        return Judgements.controlHistory(quality, except, since);
    }

    /**
     * Fit results of clients' soils on days that began before one, as far as their judgement is kept: of all clients from the newest days,
     * about 2,000 soils, and of the clients who sent soils on that day from 200 days.
     *
     * @param day name of the day to be judged; one that is not known has none
     */
    public EarlierSoils earlierSoils(String day) {
        return EarlierResults.before(quality, day);
    }

    /** What was kept last for this day, control values included. */
    public Optional<KeptJudgement> judgement(String day) {
        return Judgements.withControlValues(quality, day);
    }
}
