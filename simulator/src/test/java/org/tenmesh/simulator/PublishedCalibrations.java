package org.tenmesh.simulator;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Standard;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.made.MadeDay;
import org.tenmesh.core.made.MadeLaboratory;
import org.tenmesh.core.made.MadeRun;
import org.tenmesh.core.made.MadeSoil;
import org.tenmesh.core.made.MadeSubmission;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/**
 * A day whose calibration runs are published calibration data, signal for signal, and whose samples are the signals at which
 * the publications state the content. Nothing is simulated. Methods of one line each carry them; one gram in one millilitre
 * makes the result the published x.
 */
public final class PublishedCalibrations {
    private static final LocalDate DATE = LocalDate.of(2026, 11, 23);
    private static final String ANALYTE = "X";
    private static final String LINE = "X 1";

    /**
     * A published set.
     *
     * @param dataset its name in the table; its method and run are named alike
     * @param signals at which a content is to be found
     */
    private record Published(String dataset, String name, double... signals) {}

    private static final List<Published> ALL = List.of(
            new Published("din32645", "DIN 32645:1994, example", 3500),
            new Published("massart_ex1", "Massart et al. 1997, chapter 8, example 1", 15, 90),
            new Published("fluorescein", "Miller and Miller, fluorescein", 2.9, 13.5, 23.0),
            new Published("weighted", "Miller and Miller, weighted example, here unweighted", 0.100, 0.600),
            new Published("toluene", "Rocke and Lorenzato 1995, table 4", 200));

    private PublishedCalibrations() {}

    /**
     * The day.
     *
     * @param table {@code calibration-datasets.csv}: dataset, x, y
     */
    public static Day of(Path table) throws IOException {
        Map<String, List<double[]>> sets = read(table);
        List<Submission> submissions = new ArrayList<>();
        List<Soil> soils = new ArrayList<>();
        List<Standard> standards = new ArrayList<>();
        List<Run> runs = new ArrayList<>();
        int serial = 1;
        for (Published published : ALL) {
            String method = published.dataset();
            List<double[]> points = sets.getOrDefault(method, List.of());
            OffsetDateTime start = DATE.atTime(LocalTime.of(8 + runs.size(), 0)).atOffset(ZoneOffset.UTC);
            submissions.add(submission(published, start));
            Readings.Builder rows = Readings.builder();
            Map<String, Double> levels = new LinkedHashMap<>();
            int position = 0;
            for (double[] point : points) {
                String level = "x " + plain(point[0]);
                levels.put(level, point[0]);
                row(rows, ++position, Role.STANDARD, level, point[1], start);
            }
            levels.forEach((level, value) -> standards.add(new Standard(
                    method,
                    level,
                    ANALYTE,
                    value,
                    Unit.MILLIGRAM_PER_LITRE,
                    OptionalDouble.empty(),
                    OptionalDouble.empty())));
            int ordinal = 1;
            for (double signal : published.signals()) {
                LabNumber number = LabNumber.of(DATE, serial++);
                row(rows, ++position, Role.SAMPLE, number.text(), signal, start);
                soils.add(MadeSoil.numbered(number)
                        .of(method, ordinal++)
                        .labelled("signal " + plain(signal))
                        .regulated(false)
                        .soil());
            }
            runs.add(MadeRun.of(method, method)
                    .instrument("published")
                    .startedAt(start)
                    .readings(rows.build())
                    .run());
        }
        return MadeDay.empty()
                .laboratory(MadeLaboratory.named("Published calibrations (no laboratory)")
                        .invented(true)
                        .laboratory())
                .submissions(submissions)
                .soils(soils)
                .trays(List.of(tray(soils)))
                .standards(standards)
                .runs(runs)
                .day();
    }

    private static Submission submission(Published published, OffsetDateTime start) {
        return MadeSubmission.named(published.dataset())
                .client(published.name())
                .receivedAt(start)
                .asking(published.dataset())
                .submission();
    }

    private static void row(
            Readings.Builder rows, int position, Role role, String identity, double signal, OffsetDateTime start) {
        rows.add(position, role, identity, "", LINE, signal, Unit.PER_SECOND, start.plusMinutes(position), 1);
    }

    private static Tray tray(List<Soil> soils) {
        List<Tray.Place> wells = new ArrayList<>();
        wells.add(new Tray.Place(new Well(0), Optional.empty(), Tray.Purpose.KEY));
        for (int i = 0; i < soils.size(); i++) {
            wells.add(new Tray.Place(new Well(i + 1), Optional.of(soils.get(i).labNumber()), Tray.Purpose.SOIL));
        }
        return new Tray("T0001", wells);
    }

    private static String plain(double value) {
        String text = Double.toString(value);
        return text.endsWith(".0") ? text.substring(0, text.length() - 2) : text;
    }

    private static Map<String, List<double[]>> read(Path table) throws IOException {
        Map<String, List<double[]>> sets = new LinkedHashMap<>();
        for (String line : Files.readAllLines(table, StandardCharsets.UTF_8)) {
            String[] cells = line.split(",");
            if (line.startsWith("#") || cells.length != 3 || cells[0].equals("dataset")) {
                continue;
            }
            sets.computeIfAbsent(cells[0], name -> new ArrayList<>())
                    .add(new double[] {Double.parseDouble(cells[1]), Double.parseDouble(cells[2])});
        }
        return sets;
    }
}
