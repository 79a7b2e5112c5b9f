package org.tenmesh.core.custody;

import java.time.LocalDate;
import java.time.temporal.ChronoUnit;
import java.util.Collection;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;

/**
 * A parcel that is still in the laboratory, wholly or in part, against the time for which its permit lets it be there untreated.
 *
 * @param here portions still in the laboratory
 * @param days until its last day, which is the permit's or, of one that is {@link State#OLD}, the laboratory's own; negative when it is past; 0
 *     where none is stated
 */
public record Age(Parcel parcel, int here, long days, State state) {
    /** So many days before the last one it is told. */
    public static final int SOON_DAYS = 30;

    /** How it stands. */
    public enum State {
        OVERDUE("past its last day"),
        OLD("here for longer than the settings say"),
        SOON("soon past its last day"),
        IN_TIME("in time"),
        NONE_STATED("no limit stated: ask the permit officer");

        private final String phrase;

        State(String phrase) {
            this.phrase = phrase;
        }

        public String phrase() {
            return phrase;
        }
    }

    /**
     * Parcels of which anything is still here, the most urgent first.
     *
     * @param mostDays after so many days the laboratory looks whatever the permit allows; 0 where the permit alone counts
     */
    public static List<Age> of(Collection<Parcel> parcels, Ledger ledger, LocalDate on, int mostDays) {
        Map<String, Long> here =
                ledger.here().stream().collect(Collectors.groupingBy(Held::parcel, Collectors.counting()));
        return parcels.stream()
                .map(parcel -> of(parcel, here.getOrDefault(parcel.code(), 0L).intValue(), on, mostDays))
                .filter(age -> age.here() > 0)
                .sorted(Comparator.comparing(Age::state)
                        .thenComparing(Age::days)
                        .thenComparing(age -> age.parcel().code()))
                .toList();
    }

    private static Age of(Parcel parcel, int here, LocalDate on, int mostDays) {
        Age byPermit = byPermit(parcel, here, on);
        long left = ChronoUnit.DAYS.between(on, parcel.receivedOn().plusDays(mostDays));
        return mostDays > 0 && left < 0 && byPermit.state() != State.OVERDUE
                ? new Age(parcel, here, left, State.OLD)
                : byPermit;
    }

    /** Whether somebody has to decide what becomes of it. */
    public boolean alarm() {
        return state == State.OVERDUE || state == State.OLD;
    }

    private static Age byPermit(Parcel parcel, int here, LocalDate on) {
        if (parcel.keepUntil().isEmpty()) {
            return new Age(parcel, here, 0, State.NONE_STATED);
        }
        long days = ChronoUnit.DAYS.between(on, parcel.keepUntil().get());
        return new Age(parcel, here, days, days < 0 ? State.OVERDUE : days <= SOON_DAYS ? State.SOON : State.IN_TIME);
    }
}
