package org.tenmesh.core.judgement;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Consumer;
import org.tenmesh.core.methods.Extraction.Line;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;

/**
 * Readings that cannot be: outside what the quantity can have, or the same to the last digit for every soil. Neither a calibration nor a
 * control soil need show them, so they are held whatever else was judged.
 */
final class Possible {
    private final RunTable table;
    private final Policy policy;
    private final Method method;
    private final Readings readings;
    private final Map<String, Draft> impossible = new LinkedHashMap<>();

    Possible(RunTable table) {
        this.table = table;
        policy = table.policy();
        method = table.method();
        readings = table.run().readings();
    }

    void judge(Consumer<Draft> drafts) {
        impossible();
        impossible.values().forEach(drafts);
        signals(drafts);
        results(drafts);
    }

    private void impossible() {
        Set<String> known = method.unitsRead().keySet();
        double[] lowest = new double[readings.quantities().size()];
        double[] highest = new double[lowest.length];
        for (int q = 0; q < lowest.length; q++) {
            lowest[q] = Double.NEGATIVE_INFINITY;
            highest[q] = Double.POSITIVE_INFINITY;
        }
        ranges(lowest, highest, known);
        double mostDiluted = policy.number(Setting.POSSIBLE_DILUTION);
        for (int i = 0; i < readings.size(); i++) {
            int q = readings.quantityCode(i);
            double value = readings.value(i);
            if (value < lowest[q] || value > highest[q]) {
                say(
                        i,
                        readings.quantity(i) + " " + text(value, 4) + " "
                                + readings.unit(i).ucum());
            }
            if (readings.dilution(i) > mostDiluted && known.contains(readings.quantity(i))) {
                say(i, "a dilution of " + text(readings.dilution(i), 4));
            }
        }
    }

    private void ranges(double[] lowest, double[] highest, Set<String> known) {
        double[] strongest = new double[lowest.length];
        for (int i = 0; i < readings.size(); i++) {
            int q = readings.quantityCode(i);
            Optional<Setting> setting = range(readings.unit(i));
            if (!known.contains(readings.quantity(i))) {
                continue;
            }
            if (setting.isPresent()) {
                lowest[q] = policy.list(setting.get())[0];
                highest[q] = policy.list(setting.get())[1];
            } else if (readings.unit(i) == Unit.PER_SECOND) {
                highest[q] = policy.number(Setting.POSSIBLE_COUNTS);
                if (readings.role(i) == Role.STANDARD) {
                    strongest[q] = Math.max(strongest[q], readings.value(i));
                    lowest[q] = -policy.number(Setting.POSSIBLE_NEGATIVE_COUNTS) * strongest[q];
                }
            }
        }
    }

    private static Optional<Setting> range(Unit unit) {
        return switch (unit) {
            case CELSIUS -> Optional.of(Setting.POSSIBLE_TEMPERATURE);
            case MILLIVOLT -> Optional.of(Setting.POSSIBLE_POTENTIAL);
            case PH -> Optional.of(Setting.POSSIBLE_PH);
            case GRAM -> Optional.of(Setting.POSSIBLE_MASS);
            case MILLILITRE -> Optional.of(Setting.POSSIBLE_VOLUME);
            case MILLISIEMENS_PER_CENTIMETRE, DECISIEMENS_PER_METRE -> Optional.of(Setting.POSSIBLE_CONDUCTANCE);
            case ABSORBANCE -> Optional.of(Setting.POSSIBLE_ABSORBANCE);
            default -> Optional.empty();
        };
    }

    private void say(int i, String what) {
        String quantity = readings.quantity(i);
        Draft draft = impossible.computeIfAbsent(
                quantity,
                its -> new Draft(
                        table,
                        CauseKind.IMPOSSIBLE_READING,
                        Verdict.HOLD,
                        its,
                        "No such reading can be: ",
                        "Look at the instrument and at its export; read what is held again."));
        int position = readings.position(i);
        Role role = readings.role(i);
        draft.says("position " + position + ", " + what);
        int row = table.row(position);
        boolean own = row < table.rows() && table.position(row) == position;
        // What calibrates, or is taken off, is in every soil.
        boolean inAll = role == Role.STANDARD || role == Role.BLANK || role == Role.WASH || !own;
        for (int column : columns(quantity)) {
            if (inAll) {
                draft.touch(
                        table.firstSoil(), table.lastSoil(), column, role == Role.STANDARD ? readings.channel(i) : "");
            } else {
                draft.touch(row, column);
            }
        }
    }

    // The analyte that a line stands for; every analyte where all come from one quantity.
    private List<Integer> columns(String quantity) {
        List<Integer> all = new ArrayList<>();
        Optional<String> element = method.lines().stream()
                .filter(line -> line.quantity().equals(quantity))
                .map(Line::element)
                .findFirst();
        for (int column = 0; column < table.columns(); column++) {
            if (element.isEmpty() || element.get().equals(table.analyte(column).symbol())) {
                all.add(column);
            }
        }
        return all;
    }

    private record Series(String quantity, String channel) {}

    /** Values of one quantity under one channel, of soils and of control soils, as long as they are all the same. */
    private static final class Alike {
        private final Set<String> soils = new HashSet<>();
        private double soil = Double.NaN;
        private double control = Double.NaN;
        private boolean soilsAlike = true;
        private boolean controlsAlike = true;

        void take(Role role, String identity, double value) {
            if (role == Role.SAMPLE) {
                soilsAlike &= soils.isEmpty() || value == soil;
                soil = value;
                soils.add(identity);
            } else {
                controlsAlike &= Double.isNaN(control) || value == control;
                control = value;
            }
        }

        boolean stoodStill(int least) {
            return soils.size() >= least && soilsAlike && (soil == 0 || controlsAlike && control == soil);
        }
    }

    // What is weighed or given may well be one and the same for every soil; there the results tell.
    private boolean readsSignals() {
        return !method.lines().isEmpty() || method.channel().isPresent();
    }

    // Signals of the soils; a temperature may well be one and the same, and an internal standard may have
    // been set to one number by the instrument.
    private void signals(Consumer<Draft> drafts) {
        if (!readsSignals()) {
            return;
        }
        Set<String> known = new HashSet<>(method.unitsRead().keySet());
        known.remove("temperature");
        method.internalStandard().ifPresent(known::remove);
        Map<Series, Alike> all = new LinkedHashMap<>();
        for (int i = 0; i < readings.size(); i++) {
            Role role = readings.role(i);
            boolean soil = role == Role.SAMPLE || role == Role.DUPLICATE || role == Role.CONTROL;
            if (soil && known.contains(readings.quantity(i))) {
                all.computeIfAbsent(new Series(readings.quantity(i), readings.channel(i)), series -> new Alike())
                        .take(role, readings.identity(i), readings.value(i));
            }
        }
        all.forEach((series, one) -> {
            if (one.stoodStill(policy.whole(Setting.DEAD_LINE_SOILS))) {
                Draft draft = draft(series.quantity(), series.channel())
                        .says(series.quantity() + " is " + text(one.soil, 4) + " for all " + one.soils.size() + " soils"
                                + (series.channel().isEmpty() ? "" : " under channel " + series.channel()));
                columns(series.quantity())
                        .forEach(column -> draft.touch(table.firstSoil(), table.lastSoil(), column, series.channel()));
                drafts.accept(draft);
            }
        });
    }

    // What weighings and formulas give: where every soil has the same number a burette, a balance or the export stood
    // still.
    private void results(Consumer<Draft> drafts) {
        if (readsSignals()) {
            return;
        }
        for (int column = 0; column < table.columns(); column++) {
            Alike alike = new Alike();
            boolean numbers = true;
            for (int row = 0; row < table.rows(); row++) {
                Role role = table.role(row);
                if (role == Role.SAMPLE || role == Role.DUPLICATE || role == Role.CONTROL) {
                    Amount amount = table.at(row, column).amount();
                    numbers &= amount instanceof Amount.Measured;
                    alike.take(role, table.at(row, column).identity(), amount.raw());
                }
            }
            // None of something in every soil may well be: alkaline soils alone have carbonate.
            if (numbers && alike.soil != 0 && alike.stoodStill(policy.whole(Setting.DEAD_LINE_SOILS))) {
                String symbol = table.analyte(column).symbol();
                drafts.accept(draft(symbol, "")
                        .says(symbol + " is " + text(alike.soil, 4) + " for all " + alike.soils.size() + " soils")
                        .touch(table.firstSoil(), table.lastSoil(), column, ""));
            }
        }
    }

    private Draft draft(String quantity, String channel) {
        return new Draft(
                table,
                CauseKind.DEAD_LINE,
                Verdict.HOLD,
                quantity + " " + channel,
                "",
                "Look at the detector, the probe or the burette and at its export, then read these soils again.");
    }
}
