package org.tenmesh.store.days;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
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
        Laboratory laboratory = DayLoading.newestLaboratory(handle, register).orElseGet(() -> unnamed(register));
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

    /**
     * The id of its day, which is made when it is new.
     *
     * @param identities what it read of soils
     */
    public static int dayOf(Handle handle, String register, Run run, List<String> identities, Instant now) {
        Day day = alone(handle, register, run);
        ZoneId zone = ZoneId.of(day.laboratory().zone());
        LocalDate date = new LaboratoryDates(day, zone, Optional.empty(), LocalDate.ofInstant(now, zone))
                .of(run, identities, () -> ImportedRuns.isRedo(handle, register, run, identities, List.of()));
        return Days.idOn(handle, register, date);
    }
}
