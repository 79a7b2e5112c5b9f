package org.tenmesh.core.reduction;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;

/**
 * Loss on ignition, {@code LOI% = 100 (dry - ash) / (dry - tare)}: the loss as a share of the dry soil, the tare taken off once
 * (Rayment and Lyons 2011, Soil Chemical Methods - Australasia, method 6G1).
 */
final class IgnitionReduction {
    private static final String LOI = "LOI";

    private final Run run;
    private final IgnitionMethod method;
    private final Trail trail;
    private final List<Determination> out = new ArrayList<>();

    IgnitionReduction(Run run, IgnitionMethod method, Trail trail) {
        this.run = run;
        this.method = method;
        this.trail = trail;
    }

    /** The kind. */
    static final class Kind extends WorkedByResult<IgnitionMethod> {
        @Override
        public Set<Role> roles() {
            return EnumSet.of(Role.CONTROL, Role.SAMPLE, Role.DUPLICATE);
        }

        @Override
        public Reduced reduce(Run run, IgnitionMethod method, KnownValues known, Trail trail) {
            return new IgnitionReduction(run, method, trail).reduce();
        }

        @Override
        double value(IgnitionMethod method, String symbol, Given given) {
            double loiPct = lossPct(given);
            return symbol.equals(LOI) ? loiPct : method.organicMatter().organicMatterPct(loiPct);
        }

        @Override
        void lines(IgnitionMethod method, String symbol, double value, Given given, List<WorkedLine> lines) {
            if (lines.stream().noneMatch(line -> line.name().equals(LOI))) {
                lines.add(new WorkedLine(
                        LOI,
                        "100 × (" + given.text("dry") + " − " + given.text("ash") + ") / (" + given.text("dry") + " − "
                                + given.text("tare") + ")",
                        lossPct(given)));
            }
            if (!symbol.equals(LOI)) {
                IgnitionMethod.Regression line = method.organicMatter();
                lines.add(new WorkedLine(
                        symbol,
                        WorkedLine.number(line.slope()) + " × " + WorkedLine.number(lossPct(given)) + " + "
                                + WorkedLine.number(line.intercept()),
                        value));
            }
        }

        private static double lossPct(Given given) {
            return IgnitionReduction.lossPct(given.needed("tare"), given.needed("dry"), given.needed("ash"));
        }
    }

    /**
     * Loss on ignition in % of dry soil.
     *
     * @param tareG empty crucible, g
     * @param dryG crucible with dry soil, g; more than {@code tareG}
     * @param ashG crucible with ash, g
     */
    static double lossPct(double tareG, double dryG, double ashG) {
        return 100 * (dryG - ashG) / (dryG - tareG);
    }

    Reduced reduce() {
        Readings readings = run.readings();
        Grid grid = Grid.of(readings);
        int tare = readings.quantityCode("tare");
        int dry = readings.quantityCode("dry");
        int ash = readings.quantityCode("ash");
        for (int row = 0; row < grid.rows; row++) {
            if (grid.role[row] == Role.WASH) {
                continue;
            }
            position(grid, row, grid.value(row, tare), grid.value(row, dry), grid.value(row, ash));
        }
        return new Reduced(run, method, out, List.of());
    }

    private void position(Grid grid, int row, double tareG, double dryG, double ashG) {
        Optional<Weighings> wrong = check(tareG, dryG, ashG);
        for (Analyte analyte : method.head().analytes()) {
            if (wrong.isPresent()) {
                add(
                        grid,
                        row,
                        analyte,
                        new Amount.Missing(wrong.get().reason(), analyte.unit()),
                        wrong.get().flaw());
                continue;
            }
            double loiPct = lossPct(tareG, dryG, ashG);
            boolean loss = analyte.symbol().equals(LOI);
            double value = loss ? loiPct : method.organicMatter().organicMatterPct(loiPct);
            if (trail.wants(grid.identity[row], analyte.symbol())) {
                explain(grid, row, analyte, tareG, dryG, ashG, loiPct, value, loss);
            }
            add(grid, row, analyte, Limits.amount(value, analyte, 1), Flaw.NONE);
        }
    }

    private void explain(
            Grid grid,
            int row,
            Analyte analyte,
            double tareG,
            double dryG,
            double ashG,
            double loiPct,
            double value,
            boolean loss) {
        String balance = grid.channel[row].isEmpty() ? "" : " on balance " + grid.channel[row];
        trail.step("Crucible, weighed empty" + balance + ", position " + grid.position[row], "", tareG, Unit.GRAM);
        trail.step(
                "Dry soil and crucible, after " + text(method.dryHours(), 3) + " h at " + text(method.dryCelsius(), 4)
                        + " °C",
                "",
                dryG,
                Unit.GRAM);
        trail.step(
                "Ash and crucible, after " + text(method.ashHours(), 3) + " h at " + text(method.ashCelsius(), 4)
                        + " °C",
                "",
                ashG,
                Unit.GRAM);
        trail.step(
                "Loss on ignition, as a share of the dry soil",
                "100 × (" + text(dryG, 9) + " − " + text(ashG, 9) + ") / (" + text(dryG, 9) + " − " + text(tareG, 9)
                        + ")",
                loiPct,
                Unit.PERCENT);
        if (!loss) {
            IgnitionMethod.Regression line = method.organicMatter();
            trail.step(
                    "Organic matter from the loss, line of " + line.version() + " ("
                            + line.source().text() + ")",
                    text(line.slope(), 6) + " × " + text(loiPct, 7) + " + " + text(line.intercept(), 6),
                    value,
                    analyte.unit());
        }
    }

    private void add(Grid grid, int row, Analyte analyte, Amount amount, Flaw flaw) {
        out.add(new Determination(
                grid.position[row],
                grid.role[row],
                grid.identity[row],
                grid.channel[row],
                analyte.symbol(),
                amount,
                0,
                Double.NaN,
                1,
                flaw));
    }

    private record Weighings(Flaw flaw, String reason) {}

    private Optional<Weighings> check(double tareG, double dryG, double ashG) {
        if (Double.isNaN(tareG) || Double.isNaN(dryG) || Double.isNaN(ashG)) {
            String lacking = Double.isNaN(tareG) ? "tare" : Double.isNaN(dryG) ? "dry" : "ash";
            return Optional.of(new Weighings(Flaw.MISSING_READING, "no " + lacking + " weighing"));
        }
        double soilG = dryG - tareG;
        String weighed = "tare " + text(tareG, 9) + " g, dry " + text(dryG, 9) + " g, ash " + text(ashG, 9) + " g: ";
        if (tareG <= 0 || soilG <= 0) {
            return impossible(weighed + "the dry soil weighs nothing");
        }
        if (ashG > dryG) {
            return impossible(weighed + "the ash is heavier than the dry soil");
        }
        if (ashG < tareG) {
            return impossible(weighed + "the ash is lighter than the empty crucible");
        }
        if (soilG < method.leastDrySoilG() || soilG > method.mostDrySoilG()) {
            return impossible(weighed + "dry soil " + text(soilG, 5) + " g, expected " + text(method.leastDrySoilG(), 4)
                    + " to " + text(method.mostDrySoilG(), 4) + " g");
        }
        if (lossPct(tareG, dryG, ashG) > method.highestLoiPct()) {
            return impossible(weighed + "a loss above " + text(method.highestLoiPct(), 4) + " %");
        }
        return Optional.empty();
    }

    private static Optional<Weighings> impossible(String reason) {
        return Optional.of(new Weighings(Flaw.WEIGHING_IMPOSSIBLE, reason));
    }
}
