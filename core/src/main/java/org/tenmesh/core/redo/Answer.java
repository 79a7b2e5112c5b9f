package org.tenmesh.core.redo;

import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.tenmesh.core.judgement.CauseKind;

/**
 * What new readings say of one cause: whether it happened, by rule.
 *
 * @param cause the cause's key as text
 * @param log10Ratio common logarithm of the likelihood of the new readings if it happened over that if it did not; 0 where nothing was compared
 * @param compared results that were read again and have a number both times
 * @param changed of these, the ones of which both readings differ by more than two readings of one soil do
 * @param sentence what the rule found, with its numbers; never names a lab number
 */
public record Answer(
        String cause, CauseKind kind, Said said, double log10Ratio, int compared, int changed, String sentence) {

    /** What they say. */
    public enum Said {
        /** They agree with the value that the cause states, or differ from the first one. */
        CONFIRMED("confirmed"),
        /** They agree with the first value. */
        REFUTED("refuted"),
        /** They agree with both, or with neither. */
        UNDECIDED("undecided"),
        /** Nothing was read again yet, or nothing that can be compared. */
        OPEN("open");

        private final String word;

        Said(String word) {
            this.word = word;
        }

        /** The word in files and on pages. */
        public String word() {
            return word;
        }
    }

    /**
     * How many causes of one kind came to which answer.
     *
     * @param compared results read again in all of them, and how many of these changed
     */
    public record Count(int confirmed, int refuted, int undecided, int open, int compared, int changed) {
        static final Count NONE = new Count(0, 0, 0, 0, 0, 0);

        /** Both counts in one. */
        public Count and(Count other) {
            return new Count(
                    confirmed + other.confirmed,
                    refuted + other.refuted,
                    undecided + other.undecided,
                    open + other.open,
                    compared + other.compared,
                    changed + other.changed);
        }

        private Count and(Answer answer) {
            return and(new Count(
                    answer.said == Said.CONFIRMED ? 1 : 0,
                    answer.said == Said.REFUTED ? 1 : 0,
                    answer.said == Said.UNDECIDED ? 1 : 0,
                    answer.said == Said.OPEN ? 1 : 0,
                    answer.compared,
                    answer.changed));
        }
    }

    /** Answers counted by kind, in the order of kinds. */
    public static Map<CauseKind, Count> byKind(List<Answer> answers) {
        Map<CauseKind, Count> counts = new TreeMap<>();
        answers.forEach(answer -> counts.merge(answer.kind, Count.NONE.and(answer), Count::and));
        return counts;
    }
}
