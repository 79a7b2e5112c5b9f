package org.tenmesh.app.check;

import java.io.PrintStream;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;

/**
 * What all checks gave.
 *
 * @param checks in the order they were made, areas together
 */
public record CheckReport(List<Check> checks) {
    public CheckReport {
        checks = List.copyOf(checks);
    }

    /** Whether every check passed, whatever its standing. */
    public boolean passed() {
        return checks.stream().allMatch(Check::passed);
    }

    /** The checks that failed. */
    public List<Check> failed() {
        return checks.stream().filter(check -> !check.passed()).toList();
    }

    /** The checks whose expected value was read in a named source: the only ones that count as evidence. */
    public List<Check> counted() {
        return checks.stream()
                .filter(check -> check.standing() == Standing.READ)
                .toList();
    }

    /** The publications behind the counted checks. */
    public Set<Work> works() {
        return counted().stream().map(Check::work).collect(Collectors.toCollection(TreeSet::new));
    }

    /** Prints every check with source, expected and got, then the sums. */
    public void print(PrintStream out) {
        out.print(text());
        out.flush();
    }

    /** The report as {@link #print} prints it. */
    public String text() {
        StringBuilder text = new StringBuilder();
        String heading = "";
        String source = "";
        String place = "";
        for (Check check : checks) {
            if (!check.area().equals(heading)) {
                heading = check.area();
                source = "";
                text.append(heading).append('\n');
            }
            if (!check.work().text().equals(source)) {
                source = check.work().text();
                place = "";
                text.append("  Source: ").append(source).append('\n');
            }
            String here = check.place() + " (" + check.standing().word() + ")";
            if (!here.equals(place)) {
                place = here;
                text.append("    ").append(here.strip()).append('\n');
            }
            text.append(check.passed() ? "      ok      " : "      FAILED  ");
            text.append(check.question()).append(": expected ").append(check.expected());
            text.append(", got ").append(check.got());
            text.append(" (").append(check.tolerance()).append(")\n");
        }
        text.append(checks.size()).append(" checks, ");
        text.append(counted().size()).append(" of them against values read in ");
        text.append(works().size()).append(" sources; ");
        text.append(failed().isEmpty() ? "all agree." : failed().size() + " FAILED.")
                .append('\n');
        return text.toString();
    }
}
