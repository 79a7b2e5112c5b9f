package org.tenmesh.core.reduction;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.ConductivityMethod;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;

/**
 * Electrical conductivity at 25 °C: conductance times the temperature factor times the cell's own factor, which the standards give as
 * known over read at 25 °C. 1 mS/cm is 1 dS/m. A reading outside the temperatures the factor holds for has no result: nothing says how it moves there.
 */
final class ConductivityReduction {
    private final Run run;
    private final ConductivityMethod method;
    private final KnownValues known;
    private final Trail trail;
    private final Analyte analyte;
    private final List<Determination> out = new ArrayList<>();

    ConductivityReduction(Run run, ConductivityMethod method, KnownValues known, Trail trail) {
        this.run = run;
        this.method = method;
        this.known = known;
        this.trail = trail;
        if (method.head().analytes().size() != 1) {
            throw new IllegalArgumentException("method " + method.id() + " reports "
                    + method.head().analytes().size() + " analytes, expected one");
        }
        this.analyte = method.head().analytes().get(0);
    }

    /** The kind. */
    static final class Kind extends WorkedByResult<ConductivityMethod> {
        @Override
        public Set<Role> roles() {
            return EnumSet.of(Role.STANDARD, Role.VERIFICATION, Role.CONTROL, Role.SAMPLE, Role.DUPLICATE);
        }

        @Override
        public Reduced reduce(Run run, ConductivityMethod method, KnownValues known, Trail trail) {
            return new ConductivityReduction(run, method, known, trail).reduce();
        }

        @Override
        double value(ConductivityMethod method, String symbol, Given given) {
            return given.needed("conductance")
                    * method.compensation().factor(given.needed("temperature"))
                    * given.orElse("cell_factor", 1)
                    * given.orElse("dilution", 1);
        }

        @Override
        void lines(ConductivityMethod method, String symbol, double value, Given given, List<WorkedLine> lines) {
            double cell = given.orElse("cell_factor", 1);
            double dilution = given.orElse("dilution", 1);
            double toTwentyFive = value / (given.needed("conductance") * cell * dilution);
            lines.add(new WorkedLine(
                    symbol,
                    given.text("conductance") + " × " + WorkedLine.number(toTwentyFive) + WorkedLine.times(cell)
                            + WorkedLine.times(dilution),
                    value));
        }
    }

    private record Cell(double factor, int standards) {}

    Reduced reduce() {
        Readings readings = run.readings();
        Grid grid = Grid.of(readings);
        int conductance = readings.quantityCode("conductance");
        int temperature = readings.quantityCode("temperature");
        List<Reduced.CalibrationOutcome> outcomes = new ArrayList<>();
        Map<String, Cell> cells = cells(grid, conductance, temperature, outcomes);
        for (int row = 0; row < grid.rows; row++) {
            if (grid.role[row] != Role.WASH) {
                position(grid, row, grid.value(row, conductance), grid.value(row, temperature), cells);
            }
        }
        return new Reduced(run, method, out, outcomes);
    }

    private Map<String, Cell> cells(
            Grid grid, int conductance, int temperature, List<Reduced.CalibrationOutcome> outcomes) {
        Map<String, List<Double>> factors = new LinkedHashMap<>();
        for (int row = 0; row < grid.rows; row++) {
            List<Double> own = factors.computeIfAbsent(grid.channel[row], channel -> new ArrayList<>());
            double value = known.of(grid.identity[row], analyte.symbol());
            double read = grid.value(row, conductance) * method.compensation().factor(grid.value(row, temperature));
            if (grid.role[row] == Role.STANDARD && value > 0 && read > 0) {
                own.add(value / read);
            }
        }
        Map<String, Cell> cells = new LinkedHashMap<>();
        factors.forEach((channel, own) -> {
            String name = channel.isEmpty() ? "the cell" : "cell " + channel;
            String limits = "cell factor " + text(method.cellMin(), 4) + " to " + text(method.cellMax(), 4);
            double factor =
                    own.stream().mapToDouble(Double::doubleValue).average().orElse(Double.NaN);
            List<String> reasons = new ArrayList<>();
            if (own.isEmpty()) {
                reasons.add(name + ": no standard was read");
            } else if (factor < method.cellMin() || factor > method.cellMax()) {
                reasons.add(name + ": factor " + text(factor, 4) + ", expected " + text(method.cellMin(), 4) + " to "
                        + text(method.cellMax(), 4));
            }
            outcomes.add(new Reduced.CalibrationOutcome(
                    channel,
                    analyte.symbol(),
                    reasons,
                    reasons.isEmpty() ? name + " factor " + text(factor, 4) : reasons.get(0),
                    limits));
            cells.put(channel, new Cell(factor, own.size()));
        });
        return cells;
    }

    private void position(Grid grid, int row, double conductance, double celsius, Map<String, Cell> cells) {
        Role role = grid.role[row];
        boolean solution = role == Role.STANDARD || role == Role.VERIFICATION || role == Role.BLANK;
        double knownValue = solution ? known.of(grid.identity[row], analyte.symbol()) : Double.NaN;
        Cell cell = cells.getOrDefault(grid.channel[row], new Cell(Double.NaN, 0));
        double toTwentyFive = method.compensation().factor(celsius);
        if (Double.isNaN(conductance) || Double.isNaN(celsius)) {
            String lacking = Double.isNaN(conductance) ? "conductance" : "temperature";
            add(grid, row, missing("no " + lacking), knownValue, Flaw.MISSING_READING);
            return;
        }
        if (Double.isNaN(toTwentyFive)) {
            add(
                    grid,
                    row,
                    missing(text(celsius, 4) + " °C lies outside the temperatures the factor holds for"),
                    knownValue,
                    Flaw.MISSING_READING);
            return;
        }
        if (Double.isNaN(cell.factor())) {
            add(grid, row, missing("no calibration of the cell"), knownValue, Flaw.NO_CALIBRATION);
            return;
        }
        double dilution = grid.dilution[row];
        double ec = conductance * toTwentyFive * cell.factor() * dilution;
        if (trail.wants(grid.identity[row], analyte.symbol())) {
            String by = grid.channel[row].isEmpty() ? "" : " in cell " + grid.channel[row];
            trail.step(
                    "Conductance" + by + ", position " + grid.position[row],
                    "",
                    conductance,
                    Unit.MILLISIEMENS_PER_CENTIMETRE);
            trail.step("Temperature", "", celsius, Unit.CELSIUS);
            trail.step(
                    "Cell factor from " + cell.standards() + (cell.standards() == 1 ? " standard" : " standards"),
                    "",
                    cell.factor(),
                    Unit.ONE);
            trail.step(
                    "At 25 °C",
                    text(conductance, 6) + " × " + text(toTwentyFive, 6) + " × " + text(cell.factor(), 6)
                            + (dilution == 1 ? "" : " × " + text(dilution, 6)),
                    ec,
                    analyte.unit());
        }
        if (solution) {
            add(grid, row, new Amount.Measured(ec, analyte.unit()), knownValue, Flaw.NONE);
        } else if (ec > method.highestDsPerM() * dilution) {
            add(
                    grid,
                    row,
                    new Amount.Above(method.highestDsPerM() * dilution, ec, analyte.unit()),
                    knownValue,
                    Flaw.OVER_RANGE);
        } else {
            add(grid, row, Limits.amount(ec, analyte, dilution), knownValue, Flaw.NONE);
        }
    }

    private Amount missing(String reason) {
        return new Amount.Missing(reason, analyte.unit());
    }

    private void add(Grid grid, int row, Amount amount, double knownValue, Flaw flaw) {
        out.add(new Determination(
                grid.position[row],
                grid.role[row],
                grid.identity[row],
                grid.channel[row],
                analyte.symbol(),
                amount,
                0,
                knownValue,
                grid.dilution[row],
                flaw));
    }
}
