package org.tenmesh.simulator;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;

import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.Map;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/**
 * What a run says of its soils, reduced by the plainest way and apart from the project's own reduction: the line through two standards after
 * division by the internal standard, less the mean blank; Nernst with 4.01 and 10.01; difference weighing.
 */
final class PlainReading {
    private static final int LINES = 13;

    private PlainReading() {}

    /** Values by position and analyte, of everything that is not a standard; loss in %, plasma in mg/kg as diluted as recorded. */
    static Map<Integer, Map<String, Double>> of(Day day, Run run) {
        return switch (run.method()) {
            case "mehlich3-icp" -> plasma(day, run.readings());
            case "om-loi-360" -> ignition(run.readings());
            default -> electrode(run.readings());
        };
    }

    private static Map<Integer, Map<String, Double>> plasma(Day day, Readings r) {
        Map<String, double[]> line = new HashMap<>();
        Map<String, double[]> blanks = new HashMap<>();
        Map<Integer, Map<String, Double>> values = new LinkedHashMap<>();
        for (int i = 0; i < r.size(); i++) {
            if (r.role(i) == Role.BLANK) {
                double[] sum = blanks.computeIfAbsent(r.quantity(i).split(" ")[0], key -> new double[2]);
                sum[0]++;
                sum[1] += r.value(i) / r.value(i - i % LINES + LINES - 1);
            }
        }
        for (int from = 0; from < r.size(); from += LINES) {
            double yttrium = r.value(from + LINES - 1);
            for (int i = from; i < from + LINES - 1; i++) {
                double ratio = r.value(i) / yttrium;
                String element = r.quantity(i).split(" ")[0];
                double[] fit = line.computeIfAbsent(element, key -> new double[2]);
                if (r.identity(i).equals("WS1")) {
                    fit[0] = ratio;
                } else if (r.identity(i).equals("WS4") && r.role(i) == Role.STANDARD) {
                    double known = day.standards().stream()
                            .filter(s ->
                                    s.standard().equals("WS4") && s.analyte().equals(element))
                            .findFirst()
                            .orElseThrow()
                            .value();
                    fit[1] = (ratio - fit[0]) / known;
                } else if (r.role(i) != Role.STANDARD) {
                    double[] blank = requireNonNull(blanks.get(element));
                    values.computeIfAbsent(r.position(i), key -> new HashMap<>())
                            .put(element, 10 * r.dilution(i) * (ratio - blank[1] / blank[0]) / fit[1]);
                }
            }
        }
        return values;
    }

    private static Map<Integer, Map<String, Double>> ignition(Readings r) {
        Map<Integer, Map<String, Double>> values = new LinkedHashMap<>();
        for (int i = 0; i < r.size(); i += 3) {
            double soil = r.value(i + 1) - r.value(i);
            values.put(r.position(i), Map.of("LOI", 100 * (r.value(i + 1) - r.value(i + 2)) / soil, "soil", soil));
        }
        return values;
    }

    private static Map<Integer, Map<String, Double>> electrode(Readings r) {
        Map<String, double[]> acid = new HashMap<>();
        Map<String, double[]> base = new HashMap<>();
        Map<Integer, Map<String, Double>> values = new LinkedHashMap<>();
        for (int i = 0; i < r.size(); i += 2) {
            double mv = r.value(i);
            if (r.role(i) == Role.STANDARD && r.identity(i).equals("4.01")) {
                acid.put(r.channel(i), new double[] {mv, 4.005});
            } else if (r.role(i) == Role.STANDARD && r.identity(i).equals("10.01")) {
                base.put(r.channel(i), new double[] {mv, 10.01 - 0.01 * (r.value(i + 1) - 25)});
            } else if (r.role(i) != Role.STANDARD) {
                double[] a = requireNonNull(acid.get(r.channel(i)));
                double[] b = requireNonNull(base.get(r.channel(i)));
                double slope = (a[0] - b[0]) / (b[1] - a[1]);
                assertThat(slope)
                        .as("slope, mV/pH: Nernst at 20 to 25 C is 58.2 to 59.2")
                        .isBetween(55.5, 60.5);
                values.put(r.position(i), Map.of("pH", a[1] + (a[0] - mv) / slope));
            }
        }
        return values;
    }

    /** The position of the first reading of a soil. */
    static int position(Run run, String labNumber) {
        Readings r = run.readings();
        for (int i = 0; i < r.size(); i++) {
            if (r.role(i) == Role.SAMPLE && r.identity(i).equals(labNumber)) {
                return r.position(i);
            }
        }
        throw new IllegalArgumentException(run.run() + " holds no " + labNumber);
    }
}
