package org.tenmesh.store.days;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jdbi.v3.core.Handle;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.reduction.Run;

/** The laboratory day of a run while it is under way: by the rules for runs that have ended, with what it read so far. */
public final class RunDate {
    private RunDate() {}

    /** A day of nothing but this run, in the laboratory of its register as it was taken in last. */
    static Day alone(Handle handle, String register, Run run) {
        return alone(DayLoading.newestLaboratory(handle, register).orElseGet(() -> unnamed(register)), run);
    }

    private static Day alone(Laboratory laboratory, Run run) {
        return new Day(
                laboratory,
                List.of(),
                List.of(),
                List.of(),
                Map.of(),
                List.of(),
                List.of(),
                List.of(run),
                List.of(),
                List.of());
    }

    private static Laboratory unnamed(String register) {
        Laboratory none = Laboratory.unnamed();
        return new Laboratory(
                none.name(), none.zone(), none.address(), none.invented(), none.policy(), none.advice(), register);
    }

    /** Asks for the zone of the laboratory of a register, as it was taken in last: one row, none before the first. */
    public static final String ZONE = """
            select s.zone
            from intake.source s
            join intake.day d on d.id = s.day
            where d.register = ?
            order by d.on_date desc, s.id desc
            limit 1
            """;

    /** The zone of a laboratory that nobody described. */
    public static final ZoneId UNNAMED_ZONE = ZoneId.of(Laboratory.unnamed().zone());

    /**
     * Its date.
     *
     * @param zone of the laboratory
     * @param identities what it read of soils
     */
    public static LocalDate of(
            Handle handle, String register, ZoneId zone, Run run, Collection<String> identities, Instant now) {
        Day day = alone(unnamed(register), run);
        return new LaboratoryDates(day, zone, Optional.empty(), LocalDate.ofInstant(now, zone))
                .of(run, identities, () -> ImportedRuns.isRedo(handle, register, run, identities, List.of()));
    }

    /** The id of the day on a date, which is made when it is new. */
    public static int dayOn(Handle handle, String register, LocalDate date) {
        return Days.idOn(handle, register, date);
    }
}
