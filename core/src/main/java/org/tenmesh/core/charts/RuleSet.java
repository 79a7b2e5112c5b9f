package org.tenmesh.core.charts;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.stream.Stream;

/**
 * The run rules of one laboratory, by the names of the published literature.
 *
 * @param name of the set
 * @param source where it was published
 */
public record RuleSet(String name, String source, List<Rule> rules) {
    /** Within one run one value lies beyond plus two standard deviations and another beyond minus two. */
    public static final String RANGE_WITHIN_RUN = "R-4s";

    private static final double ANY = Double.POSITIVE_INFINITY;

    public RuleSet {
        rules = List.copyOf(rules);
    }

    /** One value beyond three standard deviations. */
    public static RuleSet threeSigma() {
        return new RuleSet(
                "three sigma", "Shewhart 1931, Economic Control of Quality of Manufactured Product", beyond(1, 1, 3));
    }

    /** The four tests of the Western Electric handbook; the same side throughout. */
    public static RuleSet westernElectric() {
        return new RuleSet(
                "Western Electric",
                "Western Electric Company 1956, Statistical Quality Control Handbook, in the form of Champ and Woodall 1987",
                join(beyond(1, 1, 3), beyond(2, 3, 2), beyond(4, 5, 1), beyond(8, 8, 0)));
    }

    /** The eight tests of Nelson. */
    public static RuleSet nelson() {
        return new RuleSet(
                "Nelson",
                "Nelson 1984, J. Quality Technology 16:237 (from memory)",
                join(
                        beyond(1, 1, 3),
                        beyond(9, 9, 0),
                        List.of(new Rule.Trend("6 steadily up or down", 6)),
                        List.of(new Rule.Alternating("14 alternating", 14)),
                        beyond(2, 3, 2),
                        beyond(4, 5, 1),
                        List.of(new Rule.Zone("15 within 1s", 15, 15, -1, 1)),
                        List.of(new Rule.Outside("8 outside 1s", 8, 1))));
    }

    /**
     * The rules across runs of clinical chemistry's multi-rule procedure, one control a run, under its own names; {@link #RANGE_WITHIN_RUN}
     * is read off the values of one run.
     */
    public static RuleSet multirule() {
        return new RuleSet(
                "multirule",
                "Westgard, Barry, Hunt and Groth 1981, Clin. Chem. 27:493, definitions as in PMC3909142 Table 1",
                join(named("1-3s", 1, 3), named("2-2s", 2, 2), named("4-1s", 4, 1), named("10x", 10, 0)));
    }

    /** {@code n} values in a row beyond so many standard deviations, on one side. */
    private static List<Rule> named(String name, int n, double bound) {
        return List.of(new Rule.Zone(name, n, n, bound, ANY), new Rule.Zone(name, n, n, -ANY, -bound));
    }

    /** At least {@code k} of {@code n} beyond so many standard deviations, on one side; a rule for each side. */
    public static List<Rule> beyond(int k, int n, double bound) {
        String what = n == 1
                ? "1 beyond " + trim(bound) + "s"
                : bound == 0 ? n + " on one side" : k + " of " + n + " beyond " + trim(bound) + "s";
        return List.of(new Rule.Zone(what, k, n, bound, ANY), new Rule.Zone(what, k, n, -ANY, -bound));
    }

    /** Names of the rules broken at each value, in the order of the set. */
    public List<List<String>> broken(double[] z) {
        List<List<String>> broken = new ArrayList<>(z.length);
        for (int at = 0; at < z.length; at++) {
            broken.add(broken(z, at));
        }
        return broken;
    }

    /** Names of the rules broken at one value, in the order of the set. */
    List<String> broken(double[] z, int at) {
        Set<String> names = new LinkedHashSet<>();
        for (Rule rule : rules) {
            if (rule.endsAt(z, at)) {
                names.add(rule.name());
            }
        }
        return List.copyOf(names);
    }

    @SafeVarargs
    private static List<Rule> join(List<Rule>... parts) {
        return Stream.of(parts).flatMap(List::stream).toList();
    }

    private static String trim(double bound) {
        return bound == Math.rint(bound) ? Long.toString((long) bound) : Double.toString(bound);
    }
}
