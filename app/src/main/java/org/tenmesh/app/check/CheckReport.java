package org.tenmesh.app.check;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.tenmesh.exchange.methods.MethodFiles;

/**
 * What all checks gave.
 *
 * @param checks in the order they were made, those of one table together
 */
public record CheckReport(List<Check> checks) {
    public CheckReport {
        checks = List.copyOf(checks);
    }

    /**
     * How much one group of checks proves.
     *
     * @param rows checks of the group
     * @param proofs formulas and rules held against a number from outside, each counted once however many rows or sources repeat it
     */
    public record Sum(int rows, int proofs) {}

    /** Whether every check passed, whatever its standing. */
    public boolean passed() {
        return checks.stream().allMatch(Check::passed);
    }

    /** The checks that failed. */
    public List<Check> failed() {
        return checks.stream().filter(check -> !check.passed()).toList();
    }

    /** The publications that independent proofs rest on. */
    public Set<String> sources() {
        return checks.stream()
                .map(Check::proof)
                .filter(Proof::counts)
                .map(proof -> proof.publication().id())
                .collect(Collectors.toCollection(TreeSet::new));
    }

    /** The independent proofs: what is proved, in words. */
    public Set<String> proofs() {
        return proofs(checks);
    }

    private static Set<String> proofs(List<Check> checks) {
        return checks.stream()
                .map(Check::proof)
                .filter(Proof::counts)
                .map(Proof::proves)
                .collect(Collectors.toCollection(TreeSet::new));
    }

    /** Rows and independent proofs of each group. */
    public Map<String, Sum> sums() {
        return checks.stream()
                .collect(Collectors.groupingBy(
                        check -> check.proof().group(),
                        LinkedHashMap::new,
                        Collectors.collectingAndThen(
                                Collectors.toList(),
                                group -> new Sum(group.size(), proofs(group).size()))));
    }

    /** What no number from outside speaks for. */
    public Unproved unproved() {
        return Unproved.of(MethodFiles.allShipped(), checks);
    }

    /** Every check with source, expected and got, then the sums. */
    public String text() {
        StringBuilder text = new StringBuilder();
        String proof = "";
        String place = "";
        for (Check check : checks) {
            Proof of = check.proof();
            if (!of.id().equals(proof)) {
                proof = of.id();
                place = "";
                text.append(of.group()).append(": ").append(of.proves()).append('\n');
                text.append("  Source: ").append(of.publication().cited()).append('\n');
            }
            String here = check.place() + " (" + of.standing().word() + ")";
            if (!here.equals(place)) {
                place = here;
                text.append("    ").append(here.strip()).append('\n');
            }
            text.append(check.passed() ? "      ok      " : "      FAILED  ");
            text.append(check.asked()).append(": expected ").append(check.expected());
            text.append(", got ").append(check.got());
            text.append(" (").append(check.tolerance()).append(")\n");
        }
        return text.append(summary()).toString();
    }

    private String summary() {
        StringBuilder text = new StringBuilder("\n");
        sums().forEach((group, sum) -> text.append(
                String.format("%-46s %5d rows, %3d independent proofs%n", group, sum.rows(), sum.proofs())));
        unproved().lines().forEach(line -> text.append(line).append('\n'));
        text.append(checks.size()).append(" rows, ");
        text.append(proofs().size()).append(" independent proofs against numbers from ");
        text.append(sources().size()).append(" sources; ");
        text.append(failed().isEmpty() ? "all agree." : failed().size() + " FAILED.")
                .append('\n');
        return text.toString();
    }
}
