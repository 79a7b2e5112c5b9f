package org.tenmesh.core.causes;

import java.time.LocalDate;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.quantity.Times;

/**
 * How often things went wrong in this laboratory, as far as readings since have confirmed it, and how often that was asked.
 *
 * @param days in any order
 */
public record OwnRecord(List<OfDay> days) {
    /** Nothing is known. */
    public static final OwnRecord NONE = new OwnRecord(List.of());

    public OwnRecord {
        days = days.stream().sorted(Comparator.comparing(OfDay::day)).toList();
    }

    /**
     * One day, or several added up.
     *
     * @param day the last of them
     * @param soils soils of each method, added up over the methods
     * @param runs how many
     * @param causes what became of its causes, by kind; kinds of which there were none may be left out
     * @param days how many, 1 or more
     */
    public record OfDay(LocalDate day, int soils, int runs, Map<CauseKind, Became> causes, int days) {
        public OfDay {
            causes = Map.copyOf(causes);
        }

        /** One day. */
        public OfDay(LocalDate day, int soils, int runs, Map<CauseKind, Became> causes) {
            this(day, soils, runs, causes, 1);
        }

        // Trays are asked once for each method, in full ones; single soils and neighbours once for each soil.
        private int asked(CauseKind kind) {
            return switch (kind) {
                case TRAY_TURNED, TRAYS_EXCHANGED -> soils / Well.PER_TRAY;
                case RUN_SHIFTED, NOT_DRY -> runs;
                default -> soils;
            };
        }
    }

    /**
     * What became of causes of one kind; {@code redo.Answers} decides.
     *
     * @param confirmed by new readings
     * @param refuted by new readings
     * @param unanswered of which nothing was read again, or nothing that decides
     */
    public record Became(int confirmed, int refuted, int unanswered) {
        static final Became NOTHING = new Became(0, 0, 0);

        /** Both together. */
        public Became and(Became other) {
            return new Became(confirmed + other.confirmed, refuted + other.refuted, unanswered + other.unanswered);
        }

        // Of the unanswered ones as large a share happened as of the others, one of two before any is answered
        // (Laplace's
        // rule of succession).
        private double happened() {
            return confirmed + unanswered * (confirmed + 1.0) / (confirmed + refuted + 2);
        }
    }

    /** Only days before one. */
    OwnRecord before(LocalDate day) {
        return new OwnRecord(
                days.stream().filter(one -> one.day().isBefore(day)).toList());
    }

    /**
     * How often something happens, of all the times it is asked: the policy's rate and the record together.
     *
     * @param rate of the policy, above 0
     * @param cases what that counts as: so many cases that happened, above 0
     */
    double rate(CauseKind kind, double rate, double cases) {
        long asked = days.stream().mapToLong(one -> one.asked(kind)).sum();
        return combined(rate, cases, became(kind).happened(), asked);
    }

    private Became became(CauseKind kind) {
        return days.stream()
                .map(one -> one.causes().getOrDefault(kind, Became.NOTHING))
                .reduce(Became.NOTHING, Became::and);
    }

    /**
     * What a rate rests on beside the policy's, for people; empty text where nothing is known.
     *
     * @param rate that {@link #rate} gave
     */
    String says(CauseKind kind, double rate) {
        if (days.isEmpty()) {
            return "";
        }
        Became became = became(kind);
        int count = days.stream().mapToInt(OfDay::days).sum();
        return "; it happens once in " + Times.ratio(-Math.log10(rate)) + " by the policy's rate and "
                + (count == 1 ? "the day" : count + " days") + " before (" + became.confirmed() + " confirmed, "
                + became.refuted() + " refuted, " + became.unanswered() + " without an answer)";
    }

    /**
     * Mean of a rate that has a beta density beforehand, of mean {@code rate} and as many cases as {@code cases}, after {@code happened} of
     * {@code asked}: {@code (cases + happened) / (cases / rate + asked)} (Gelman et al. 2013, Bayesian Data Analysis, 3rd edition, section 2.4:
     * {@code (alpha + y) / (alpha + beta + n)}; from memory).
     */
    static double combined(double rate, double cases, double happened, long asked) {
        return (cases + happened) / (cases / rate + asked);
    }
}
