package org.tenmesh.store.days;

import java.time.LocalDate;
import java.time.ZoneId;
import java.util.Collection;
import java.util.Comparator;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import java.util.function.BooleanSupplier;
import java.util.stream.Stream;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.reduction.Run;

/** Which laboratory day things belong to, by the clock in the laboratory's zone. */
final class LaboratoryDates {
    private final ZoneId zone;
    private final LocalDate listed;
    private final Map<String, LocalDate> numbered = new HashMap<>();

    /**
     * @param day an import
     * @param given its date, when the caller knows it
     * @param today the date of an import that says nothing of its date
     */
    LaboratoryDates(Day day, ZoneId zone, Optional<LocalDate> given, LocalDate today) {
        this.zone = zone;
        listed = given.or(() -> mostFrequent(day.soils().stream().flatMap(soil -> soil.labNumber().date().stream())))
                .or(() -> mostFrequent(day.runs().stream().map(this::started)))
                .orElse(today);
        day.soils()
                .forEach(soil -> numbered.put(
                        soil.labNumber().text(),
                        given.or(() -> soil.labNumber().date()).orElse(listed)));
    }

    /** The date of what an import lists: its soils, trays, materials, standards and packages. */
    LocalDate listed() {
        return listed;
    }

    /**
     * The date of a run: the one on which it started. Two kinds of run belong to the date of their soils instead, so that the soils of a
     * date are judged by all their methods together: one that started the day before, such as a furnace filled in the evening, and
     * one that started the day after and is the first of its method to read them, such as the last of a night. A redo on the day after
     * belongs to its own date.
     *
     * @param identities what it read
     * @param redo whether most of them were read by the method before
     */
    LocalDate of(Run run, Collection<String> identities, BooleanSupplier redo) {
        LocalDate started = started(run);
        LocalDate soils =
                mostFrequent(identities.stream().flatMap(this::dateOf)).orElse(started);
        if (soils.equals(started.plusDays(1)) || soils.equals(started.minusDays(1)) && !redo.getAsBoolean()) {
            return soils;
        }
        return started;
    }

    private Stream<LocalDate> dateOf(String identity) {
        LocalDate known = numbered.get(identity);
        if (known != null) {
            return Stream.of(known);
        }
        return identity.isEmpty() || identity.length() > 32 ? Stream.empty() : new LabNumber(identity).date().stream();
    }

    private LocalDate started(Run run) {
        return run.startedAt().atZoneSameInstant(zone).toLocalDate();
    }

    /** The later one of those that are equally frequent. */
    private static Optional<LocalDate> mostFrequent(Stream<LocalDate> dates) {
        Map<LocalDate, Integer> counts = new HashMap<>();
        dates.forEach(date -> counts.merge(date, 1, Integer::sum));
        return counts.entrySet().stream()
                .max(Comparator.<Map.Entry<LocalDate, Integer>>comparingInt(Map.Entry::getValue)
                        .thenComparing(Map.Entry::getKey))
                .map(Map.Entry::getKey);
    }
}
