package org.tenmesh.core.proficiency;

import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.core.statistics.Scores;

/**
 * A result of a round with its scores (ISO 13528; limits and the use of z' as commonly taught, from memory; the forms of z, z' and zeta
 * read in the manual of NIST's Dataplot).
 *
 * @param z where there is a standard deviation for assessment
 * @param zPrime where there is one and the assigned value's uncertainty is known
 * @param zeta where both uncertainties are known
 * @param en as zeta, with uncertainties doubled
 * @param decidedBy the score the verdict rests on; empty when there is none
 */
public record Scored(
        RoundResult result,
        OptionalDouble z,
        OptionalDouble zPrime,
        OptionalDouble zeta,
        OptionalDouble en,
        Optional<Kind> decidedBy) {
    /** Share of the standard deviation for assessment above which the uncertainty of the assigned value counts. */
    public static final double COUNTS_FROM = 0.3;

    /** The scores. */
    public enum Kind {
        /** {@code (x - X) / sigma}: the usual one. */
        Z("z"),
        /** {@code (x - X) / sqrt(sigma^2 + u(X)^2)}: in its place when {@code u(X) > 0.3 sigma}. */
        Z_PRIME("z'"),
        /** {@code (x - X) / sqrt(u(x)^2 + u(X)^2)}: when no standard deviation for assessment was set. */
        ZETA("zeta");

        private final String word;

        Kind(String word) {
            this.word = word;
        }

        /** As written in files and sentences. */
        public String word() {
            return word;
        }
    }

    /** What a score means. */
    public enum Verdict {
        /** At most 2 in size. */
        SATISFACTORY,
        /** Above 2, below 3. */
        WARNING,
        /** 3 or more. */
        ACTION;

        static Verdict of(double score) {
            double size = Math.abs(score);
            return size >= 3 ? ACTION : size > 2 ? WARNING : SATISFACTORY;
        }

        /** As written in files. */
        public String word() {
            return name().toLowerCase(Locale.ROOT);
        }
    }

    /** All scores that can be given. */
    public static Scored of(RoundResult result) {
        Assigned assigned = result.assigned();
        double x = result.value();
        OptionalDouble z = OptionalDouble.empty();
        OptionalDouble zPrime = OptionalDouble.empty();
        OptionalDouble zeta = OptionalDouble.empty();
        OptionalDouble en = OptionalDouble.empty();
        Optional<Kind> decidedBy = Optional.empty();
        if (result.ownStandardU().isPresent() && assigned.standardU().isPresent()) {
            double own = result.ownStandardU().getAsDouble();
            double theirs = assigned.standardU().getAsDouble();
            if (Math.hypot(own, theirs) > 0) {
                zeta = OptionalDouble.of(Scores.zeta(x, own, assigned.value(), theirs));
                en = OptionalDouble.of(Scores.en(x, 2 * own, assigned.value(), 2 * theirs));
                decidedBy = Optional.of(Kind.ZETA);
            }
        }
        if (assigned.sigma().isPresent()) {
            double sigma = assigned.sigma().getAsDouble();
            z = OptionalDouble.of(Scores.z(x, assigned.value(), sigma));
            decidedBy = Optional.of(Kind.Z);
            if (assigned.standardU().isPresent()) {
                double u = assigned.standardU().getAsDouble();
                zPrime = OptionalDouble.of(Scores.zPrime(x, assigned.value(), sigma, u));
                decidedBy = Optional.of(u > COUNTS_FROM * sigma ? Kind.Z_PRIME : Kind.Z);
            }
        }
        return new Scored(result, z, zPrime, zeta, en, decidedBy);
    }

    /** The score the verdict rests on. */
    public OptionalDouble deciding() {
        return decidedBy
                .map(kind -> switch (kind) {
                    case Z -> z;
                    case Z_PRIME -> zPrime;
                    case ZETA -> zeta;
                })
                .orElse(OptionalDouble.empty());
    }

    /** Empty when no score can be given. */
    public Optional<Verdict> verdict() {
        OptionalDouble score = deciding();
        return score.isPresent() ? Optional.of(Verdict.of(score.getAsDouble())) : Optional.empty();
    }

    /** Whether the difference fits the stated uncertainties: {@code |En| <= 1}. Empty when they are not known. */
    public Optional<Boolean> fitsUncertainty() {
        return en.isPresent() ? Optional.of(Math.abs(en.getAsDouble()) <= 1) : Optional.empty();
    }
}
