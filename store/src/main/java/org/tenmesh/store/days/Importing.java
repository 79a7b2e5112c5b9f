package org.tenmesh.store.days;

import java.sql.Connection;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.jdbi.v3.core.Handle;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Laboratory;

/** One import in its transaction: the day it brings, and the dates that its parts belong to. */
final class Importing {
    /** How long after a box was received its soils may be listed in an import without it. */
    static final int WAITS_DAYS = 31;

    private final Handle handle;
    private final Day day;
    private final Laboratory laboratory;
    private final LaboratoryDates dates;
    private final Map<LocalDate, Integer> dayIds = new TreeMap<>();

    /**
     * Holds the register until the transaction ends.
     *
     * @param given date of the import, when the caller knows it
     */
    Importing(Handle handle, Day day, Optional<LocalDate> given, Instant now) {
        this.handle = handle;
        this.day = day;
        lockRegister();
        // A folder that says nothing of its laboratory, as a redo may, changes nothing of it.
        this.laboratory = day.laboratory().equals(Laboratory.unnamed())
                ? DayLoading.newestLaboratory(handle, register()).orElse(day.laboratory())
                : day.laboratory();
        ZoneId zone = ZoneId.of(laboratory.zone());
        this.dates = new LaboratoryDates(day, zone, given, LocalDate.ofInstant(now, zone));
    }

    private void lockRegister() {
        handle.createUpdate("insert into intake.register (register) values (:register) on conflict do nothing")
                .bind("register", register())
                .execute();
        handle.createQuery("select register from intake.register where register = :register for update")
                .bind("register", register())
                .mapTo(String.class)
                .one();
    }

    Handle handle() {
        return handle;
    }

    Connection connection() {
        return handle.getConnection();
    }

    /** What is imported. */
    Day day() {
        return day;
    }

    String register() {
        return day.laboratory().register();
    }

    /** The laboratory as the import or the newest one before it says. */
    Laboratory laboratory() {
        return laboratory;
    }

    LaboratoryDates dates() {
        return dates;
    }

    /** The id of the day on this date, which is made when it is new. */
    int dayId(LocalDate date) {
        return dayIds.computeIfAbsent(date, wanted -> Days.idOn(handle, register(), wanted));
    }
}
