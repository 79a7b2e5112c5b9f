package org.tenmesh.core.proficiency;

import java.time.LocalDate;
import java.time.temporal.ChronoUnit;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;

/**
 * What a round asks for: find the reason, and look back at what was reported since the last round in which all was well.
 *
 * @param round that opened it
 * @param date of that round
 * @param samples of the round that gave the reason, as named by the provider
 * @param rule broken
 * @param worst the score of largest size among them
 * @param lastGood the last earlier round all of whose results of this method and analyte were satisfactory; empty when there was none
 */
public record Action(
        String round,
        LocalDate date,
        String method,
        String analyte,
        List<String> samples,
        Rule rule,
        double worst,
        Optional<GoodRound> lastGood) {
    public Action {
        samples = List.copyOf(samples);
    }

    /** Why an action is opened (common practice). */
    public enum Rule {
        /** A score of 3 or more in size. */
        BEYOND_3("beyond 3"),
        /** Two results in a row beyond 2 on the same side, within a round or over two. */
        TWO_BEYOND_2("two in a row beyond 2");

        private final String word;

        Rule(String word) {
            this.word = word;
        }

        /** As written in files. */
        public String word() {
            return word;
        }
    }

    /** A round in which all was well. */
    public record GoodRound(String round, LocalDate date) {}

    /** Days from the last good round to this one; empty when there was none, so that everything since the beginning is in question. */
    public OptionalLong lookBackDays() {
        return lastGood.isPresent()
                ? OptionalLong.of(ChronoUnit.DAYS.between(lastGood.get().date(), date))
                : OptionalLong.empty();
    }

    /** What to do, in one sentence. */
    public String whatToDo() {
        String since = lastGood.map(good -> "since round " + good.round() + " of " + good.date() + " ("
                        + ChronoUnit.DAYS.between(good.date(), date) + " days)")
                .orElse("since the beginning, because no earlier round was satisfactory");
        return "Find the reason; look back at every " + analyte + " by " + method + " reported " + since
                + ", and write down what was found.";
    }
}
