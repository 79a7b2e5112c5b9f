package org.tenmesh.exchange.day;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.IntUnaryOperator;
import java.util.stream.IntStream;
import org.tenmesh.core.judgement.Standard;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.QuantityMatch;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Reduction;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.exchange.file.DecimalText;
import org.tenmesh.exchange.file.Problem;

/** What of a run's readings its method uses, and what it does not: nothing is left out without a word. */
final class RunUse {
    private static final String JUDGED_WITHOUT = "The run is judged without them";

    private final String file;
    private final Run run;
    private final Method method;
    private final List<Problem> problems;
    private final List<Problem> notes;

    RunUse(String file, Run run, Method method, List<Problem> problems, List<Problem> notes) {
        this.file = file;
        this.run = run;
        this.method = method;
        this.problems = problems;
        this.notes = notes;
    }

    /**
     * Tells what is not used.
     *
     * @param lines the line of the file on which a row of readings stands
     * @param standards of the whole day
     */
    void tell(IntUnaryOperator lines, List<Standard> standards) {
        Readings readings = run.readings();
        boolean soils = IntStream.range(0, readings.size())
                .anyMatch(row -> readings.role(row) == Role.SAMPLE || readings.role(row) == Role.DUPLICATE);
        if (!soils) {
            notes.add(new Problem(
                    file,
                    0,
                    "role",
                    readings.size() == 0 ? "no reading" : "no soil, only checks, standards and controls",
                    "soils",
                    "Run " + run.run() + " gives no result"));
        }
        QuantityMatch match = QuantityMatch.of(method, readings);
        for (QuantityMatch.Renamed one : match.renamed()) {
            notes.add(new Problem(
                    file,
                    lines.applyAsInt(firstRow(one.found())),
                    "quantity",
                    kind() + " `" + one.found() + "`, which is not in method " + method.id(),
                    "`" + one.name() + "`" + away(one.nmAway()),
                    "It is read as " + meaning(one.name())));
        }
        for (QuantityMatch.Unused one : match.unused()) {
            // An instrument may read lines that no method asks for; a line of an element of the method was meant for
            // it.
            boolean another = method.readsEmissionLines() && Double.isNaN(one.nmAway()) && isLine(one.found());
            boolean second = match.lacking().stream()
                    .noneMatch(name -> name.equals(one.nearest().orElse("")));
            boolean harmless = another || method.readsEmissionLines() && !Double.isNaN(one.nmAway()) && second;
            (harmless ? notes : problems)
                    .add(new Problem(
                            file,
                            lines.applyAsInt(firstRow(one.found())),
                            "quantity",
                            kind() + " `" + one.found() + "`, which is not in method " + method.id(),
                            another
                                    ? "a line of " + method.id()
                                    : one.nearest()
                                            .map(name -> "`" + name + "`" + away(one.nmAway()))
                                            .orElse("one of "
                                                    + String.join(
                                                            ", ",
                                                            method.unitsRead().keySet())),
                            "These readings are not used. " + JUDGED_WITHOUT));
        }
        lacking(match, standards);
        roles(lines);
    }

    // Lines that were not read: an element of which the run has standards was meant to be read.
    private void lacking(QuantityMatch match, List<Standard> standards) {
        Set<String> prepared = new HashSet<>();
        Set<String> read = new HashSet<>(run.readings().identities());
        for (Standard standard : standards) {
            if (standard.method().equals(method.id()) && read.contains(standard.standard())) {
                prepared.add(standard.analyte());
            }
        }
        for (String name : match.lacking()) {
            boolean internal = method.internalStandard().equals(Optional.of(name));
            String element = element(name);
            if (internal || prepared.contains(element)) {
                problems.add(new Problem(
                        file,
                        0,
                        "quantity",
                        internal
                                ? "no reading of the internal standard `" + name + "`"
                                : "no reading of `" + name + "`, although standards.csv states " + element,
                        "readings of `" + name + "`",
                        internal
                                ? "The signals of this run are not corrected by an internal standard"
                                : "The run gives no result of " + element));
            }
        }
    }

    private void roles(IntUnaryOperator lines) {
        Set<Role> used = Reduction.roles(method);
        Set<Role> told = EnumSet.noneOf(Role.class);
        Readings readings = run.readings();
        for (int i = 0; i < readings.size(); i++) {
            Role role = readings.role(i);
            if (!used.contains(role) && told.add(role)) {
                notes.add(new Problem(
                        file,
                        lines.applyAsInt(i),
                        "role",
                        "rows of role " + role.word() + ", which method " + method.id() + " does not use",
                        "one of " + words(used),
                        JUDGED_WITHOUT));
            }
        }
    }

    private static String words(Set<Role> roles) {
        return String.join(", ", roles.stream().map(Role::word).toList());
    }

    /**
     * Readings whose unit is not the one in which the method takes their quantity.
     *
     * @return the first row of each such quantity
     */
    static List<Integer> wrongUnits(Readings readings, Method method) {
        QuantityMatch match = QuantityMatch.of(method, readings);
        Map<String, Optional<Unit>> units = method.unitsRead();
        Set<String> told = new HashSet<>();
        List<Integer> rows = new ArrayList<>();
        for (int i = 0; i < readings.size(); i++) {
            Optional<Unit> expected = units.getOrDefault(match.readings().quantity(i), Optional.empty());
            if (expected.isPresent()
                    && expected.get() != readings.unit(i)
                    && readings.unit(i).factorTo(expected.get()).orElse(0) != 1
                    && told.add(readings.quantity(i))) {
                rows.add(i);
            }
        }
        return rows;
    }

    /** The unit in which the method takes the quantity of a row; empty when it takes it in none. */
    static Optional<Unit> unit(Readings readings, Method method, int row) {
        return method.unitsRead()
                .getOrDefault(QuantityMatch.of(method, readings).readings().quantity(row), Optional.empty());
    }

    private int firstRow(String quantity) {
        Readings readings = run.readings();
        int code = readings.quantityCode(quantity);
        int row = 0;
        while (row < readings.size() && readings.quantityCode(row) != code) {
            row++;
        }
        return row;
    }

    private String kind() {
        return method.readsEmissionLines() ? "line" : "quantity";
    }

    private static boolean isLine(String name) {
        return name.strip().matches("[A-Za-z]{1,2}[\\s_:-]*[0-9]{2,4}.*");
    }

    private static String away(double nm) {
        return nm > 0 ? " (nearest, " + DecimalText.of(nm) + " nm away)" : "";
    }

    private String element(String name) {
        return method.lines().stream()
                .filter(line -> line.quantity().equals(name))
                .map(line -> line.element())
                .findFirst()
                .orElse("");
    }

    private String meaning(String name) {
        return method.analyte(element(name)).map(Analyte::name).orElse("`" + name + "`");
    }
}
