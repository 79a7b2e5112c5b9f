package org.tenmesh.core.shelf;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;

/**
 * For how long a soil is kept: so many days from the release of its last result (common practice: the clock starts at the release of the last
 * result and stops for a recheck, a complaint or a legal hold).
 *
 * @param from the first day on which it may go; empty while the clock stands still
 * @param why what the clock waits for; empty text while it runs
 */
public record Kept(Optional<LocalDate> from, String why) {
    /**
     * Works it out.
     *
     * @param releasedOn when the last of its results was released; empty while something is not
     * @param days for how many days it is kept, 0 or more
     * @param pauses in any order; those before the release do not count
     * @param today a pause that holds today or later stops the clock
     */
    public static Kept of(Optional<LocalDate> releasedOn, int days, List<Pause> pauses, LocalDate today) {
        if (days < 0) {
            throw new IllegalArgumentException("a soil is kept for 0 days or more, found " + days);
        }
        Optional<Pause> open = pauses.stream()
                .filter(pause -> pause.to().filter(end -> !today.isBefore(end)).isEmpty())
                .max(Comparator.comparing(pause -> pause.to().orElse(LocalDate.MAX)));
        if (open.isPresent()) {
            return new Kept(
                    Optional.empty(),
                    open.get().kind()
                            + open.get().to().map(end -> " until " + end).orElse(", not lifted yet"));
        }
        if (releasedOn.isEmpty()) {
            return new Kept(Optional.empty(), "not everything is released");
        }
        List<Pause> inOrder = new ArrayList<>(pauses);
        inOrder.sort(Comparator.comparing(Pause::from));
        LocalDate counted = releasedOn.get();
        long left = days;
        for (Pause pause : inOrder) {
            LocalDate end = pause.to().orElseThrow();
            if (!end.isAfter(counted)) {
                continue;
            }
            long before = Math.max(0, pause.from().toEpochDay() - counted.toEpochDay());
            if (before >= left) {
                break;
            }
            left -= before;
            counted = end;
        }
        return new Kept(Optional.of(counted.plusDays(left)), "");
    }

    /** Whether it may go on this day. */
    public boolean mayGo(LocalDate day) {
        return from.filter(first -> !day.isBefore(first)).isPresent();
    }
}
