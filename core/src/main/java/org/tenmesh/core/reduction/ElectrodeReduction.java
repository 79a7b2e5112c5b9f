package org.tenmesh.core.reduction;

import static org.tenmesh.core.quantity.Significant.text;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tenmesh.core.calibration.CalibrationJudgement;
import org.tenmesh.core.calibration.ProbeCalibration;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.BufferTable;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Reduced.CalibrationOutcome.Point;

/**
 * pH on a head of several probes, each calibrated by itself on the run's buffers at their temperature. Where the meter has
 * already converted, its pH is taken as it is and only the known buffers can judge it.
 */
final class ElectrodeReduction {
    private static final String PH = "pH";
    // A declared buffer value within this of a table's value at 25 °C is that buffer.
    private static final double SAME_BUFFER_PH = 0.06;

    private final Run run;
    private final ElectrodeMethod method;
    private final KnownValues known;
    private final Trail trail;
    private final Analyte analyte;
    private final List<Determination> out = new ArrayList<>();

    ElectrodeReduction(Run run, ElectrodeMethod method, KnownValues known, Trail trail) {
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
    static final class Kind extends WorkedByResult<ElectrodeMethod> {
        private static final double ZERO_CELSIUS_K = 273.15;

        @Override
        public Set<Role> roles() {
            return EnumSet.of(Role.STANDARD, Role.VERIFICATION, Role.CONTROL, Role.SAMPLE, Role.DUPLICATE);
        }

        @Override
        public Reduced reduce(Run run, ElectrodeMethod method, KnownValues known, Trail trail) {
            return new ElectrodeReduction(run, method, known, trail).reduce();
        }

        @Override
        double value(ElectrodeMethod method, String symbol, Given given) {
            double celsius = given.needed("temperature");
            return new ProbeCalibration(
                            given.needed("slope_mv_per_ph"),
                            given.needed("offset_mv"),
                            given.orElse("calibration_temperature", celsius),
                            2)
                    .phAt(given.needed("potential"), celsius);
        }

        @Override
        void lines(ElectrodeMethod method, String symbol, double value, Given given, List<WorkedLine> lines) {
            double celsius = given.needed("temperature");
            double calibrated = given.orElse("calibration_temperature", celsius);
            double slope = given.needed("slope_mv_per_ph");
            if (calibrated != celsius) {
                double carried = slope * (celsius + ZERO_CELSIUS_K) / (calibrated + ZERO_CELSIUS_K);
                lines.add(new WorkedLine(
                        "slope at " + given.text("temperature") + " °C",
                        given.text("slope_mv_per_ph") + " × (" + given.text("temperature") + " + " + ZERO_CELSIUS_K
                                + ") / (" + WorkedLine.number(calibrated) + " + " + ZERO_CELSIUS_K + ")",
                        carried));
                slope = carried;
            }
            lines.add(new WorkedLine(
                    symbol,
                    "7 − (" + given.text("potential") + " − " + given.text("offset_mv") + ") / "
                            + WorkedLine.number(slope),
                    value));
        }
    }

    private record Buffer(Point point, double celsius) {}

    private record Probe(@Nullable ProbeCalibration calibration, int buffers) {}

    Reduced reduce() {
        Readings readings = run.readings();
        Grid grid = Grid.of(readings);
        int potential = readings.quantityCode("potential");
        int temperature = readings.quantityCode("temperature");
        int ready = readings.quantityCode(PH);
        List<Reduced.CalibrationOutcome> outcomes = new ArrayList<>();
        Map<String, Probe> probes = potential < 0 ? Map.of() : calibrate(grid, potential, temperature, outcomes);
        for (int row = 0; row < grid.rows; row++) {
            if (grid.role[row] == Role.WASH) {
                continue;
            }
            double celsius = grid.value(row, temperature);
            double knownPh = bufferPh(grid, row, celsius);
            double meterPh = grid.value(row, ready);
            double milliVolt = grid.value(row, potential);
            if (!Double.isNaN(meterPh)) {
                if (trail.wants(grid.identity[row], analyte.symbol())) {
                    trail.step(
                            "pH as given by the meter" + probe(grid, row) + ", position " + grid.position[row],
                            "",
                            meterPh,
                            Unit.PH);
                }
                add(grid, row, meterPh, 0, knownPh);
            } else if (Double.isNaN(milliVolt) || Double.isNaN(celsius)) {
                missing(
                        grid,
                        row,
                        knownPh,
                        Double.isNaN(milliVolt) ? "no potential" : "no temperature",
                        Flaw.MISSING_READING);
            } else {
                convert(grid, row, milliVolt, celsius, knownPh, probes.get(grid.channel[row]));
            }
        }
        return new Reduced(run, method, out, outcomes);
    }

    private Map<String, Probe> calibrate(
            Grid grid, int potential, int temperature, List<Reduced.CalibrationOutcome> outcomes) {
        Map<String, List<Buffer>> points = new LinkedHashMap<>();
        for (int row = 0; row < grid.rows; row++) {
            points.computeIfAbsent(grid.channel[row], channel -> new ArrayList<>());
            double celsius = grid.value(row, temperature);
            double milliVolt = grid.value(row, potential);
            double ph = bufferPh(grid, row, celsius);
            if (grid.role[row] == Role.STANDARD
                    && !Double.isNaN(milliVolt)
                    && !Double.isNaN(ph)
                    && !Double.isNaN(celsius)) {
                points.get(grid.channel[row])
                        .add(new Buffer(new Point(grid.position[row], grid.identity[row], ph, milliVolt), celsius));
            }
        }
        Map<String, Probe> probes = new LinkedHashMap<>();
        points.forEach((channel, list) -> {
            List<Point> read = list.stream().map(Buffer::point).toList();
            String name = channel.isEmpty() ? "the probe" : "probe " + channel;
            String limits = "slope " + text(method.slopeMinPct(), 4) + " to " + text(method.slopeMaxPct(), 4)
                    + " %, offset within " + text(method.offsetLimitMv(), 4) + " mV";
            try {
                ProbeCalibration calibration = ProbeCalibration.of(
                        read.stream().mapToDouble(Point::signal).toArray(),
                        read.stream().mapToDouble(Point::value).toArray(),
                        list.stream().mapToDouble(Buffer::celsius).average().orElse(Double.NaN));
                List<String> reasons = new ArrayList<>();
                CalibrationJudgement judged = CalibrationJudgement.of(calibration, method);
                judged.reasons().forEach(reason -> reasons.add(name + ": " + reason));
                outcomes.add(new Reduced.CalibrationOutcome(
                        channel,
                        analyte.symbol(),
                        reasons,
                        name + " slope " + text(calibration.slopePct(), 4) + " %, offset "
                                + text(calibration.offsetMv(), 3) + " mV",
                        limits,
                        read,
                        judged.broken()));
                probes.put(channel, new Probe(calibration, list.size()));
            } catch (IllegalArgumentException unfit) {
                String reason = name + ": " + unfit.getMessage();
                outcomes.add(
                        new Reduced.CalibrationOutcome(channel, analyte.symbol(), List.of(reason), reason, limits));
                probes.put(channel, new Probe(null, list.size()));
            }
        });
        return probes;
    }

    private void convert(Grid grid, int row, double milliVolt, double celsius, double knownPh, @Nullable Probe probe) {
        if (probe == null || probe.calibration() == null) {
            missing(grid, row, knownPh, "no calibration of" + probe(grid, row).replace(" by", ""), Flaw.NO_CALIBRATION);
            return;
        }
        ProbeCalibration calibration = probe.calibration();
        double ph = calibration.phAt(milliVolt, celsius);
        if (!Double.isFinite(ph)) {
            // A dead probe reads the same in every buffer: it has a calibration, and none that gives a pH.
            missing(
                    grid,
                    row,
                    knownPh,
                    "no pH follows from " + text(milliVolt, 5) + " mV at " + text(celsius, 4) + " °C and a slope of "
                            + text(calibration.slopeMvPerPh(), 4) + " mV/pH",
                    Flaw.NO_CALIBRATION);
            return;
        }
        if (trail.wants(grid.identity[row], analyte.symbol())) {
            trail.step(
                    "Potential" + probe(grid, row) + ", position " + grid.position[row], "", milliVolt, Unit.MILLIVOLT);
            trail.step("Temperature", "", celsius, Unit.CELSIUS);
            trail.step(
                    "Calibration on " + probe.buffers() + " buffers at " + text(calibration.celsius(), 4)
                            + " °C, slope " + text(calibration.slopePct(), 5) + " % of the theoretical",
                    "offset at pH 7",
                    calibration.offsetMv(),
                    Unit.MILLIVOLT);
            double slope = calibration.slopeMvPerPh()
                    * ProbeCalibration.theoreticalSlopeMvPerPh(celsius)
                    / ProbeCalibration.theoreticalSlopeMvPerPh(calibration.celsius());
            trail.step(
                    "pH, slope carried to the soil's temperature",
                    "7 − (" + text(milliVolt, 7) + " − " + text(calibration.offsetMv(), 6) + ") / " + text(slope, 7),
                    ph,
                    Unit.PH);
        }
        add(grid, row, ph, 0, knownPh);
    }

    private void add(Grid grid, int row, double ph, double se, double knownPh) {
        boolean possible = ph >= method.lowestPh() && ph <= method.highestPh();
        boolean soil = grid.role[row] != Role.STANDARD && grid.role[row] != Role.VERIFICATION;
        if (soil && !possible) {
            missing(
                    grid,
                    row,
                    knownPh,
                    "pH " + text(ph, 4) + " outside " + text(method.lowestPh(), 3) + " to "
                            + text(method.highestPh(), 3),
                    Flaw.MISSING_READING);
            return;
        }
        out.add(determination(grid, row, new Amount.Measured(ph, analyte.unit()), se, knownPh, Flaw.NONE));
    }

    private void missing(Grid grid, int row, double knownPh, String reason, Flaw flaw) {
        out.add(determination(grid, row, new Amount.Missing(reason, analyte.unit()), 0, knownPh, flaw));
    }

    private Determination determination(Grid grid, int row, Amount amount, double se, double knownPh, Flaw flaw) {
        return new Determination(
                grid.position[row],
                grid.role[row],
                grid.identity[row],
                grid.channel[row],
                analyte.symbol(),
                amount,
                se,
                knownPh,
                1,
                flaw);
    }

    private static String probe(Grid grid, int row) {
        return grid.channel[row].isEmpty() ? "" : " by probe " + grid.channel[row];
    }

    // The declared value holds at 25 °C; a table of the same buffer carries it to the temperature of the reading.
    private double bufferPh(Grid grid, int row, double celsius) {
        if (grid.role[row] != Role.STANDARD && grid.role[row] != Role.VERIFICATION) {
            return Double.NaN;
        }
        // A buffer's pH may stand under the analyte's own symbol or plainly under pH.
        double own = known.of(grid.identity[row], analyte.symbol());
        double at25 = Double.isNaN(own) ? known.of(grid.identity[row], PH) : own;
        if (Double.isNaN(celsius) || Double.isNaN(at25)) {
            return at25;
        }
        Optional<BufferTable> table = Optional.empty();
        double nearest = SAME_BUFFER_PH;
        for (BufferTable candidate : method.buffers()) {
            double distance = Math.abs(candidate.phAt(25) - at25);
            if (distance < nearest) {
                nearest = distance;
                table = Optional.of(candidate);
            }
        }
        return table.map(t -> at25 + t.phAt(celsius) - t.phAt(25)).orElse(at25);
    }
}
