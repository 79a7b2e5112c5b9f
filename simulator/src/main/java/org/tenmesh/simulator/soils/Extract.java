package org.tenmesh.simulator.soils;

import java.util.ArrayList;
import java.util.List;

/**
 * An extraction and the instrument that reads it.
 *
 * @param flow whether a flow analyser reads it; a plasma otherwise
 * @param mlPerG extractant for each gram of soil, mL; 1 where an extract is read as it comes
 * @param portionRsd spread of one portion, common to all its analytes
 */
public record Extract(String method, boolean flow, double mlPerG, double portionRsd, List<Channel> channels) {
    /**
     * A signal of it.
     *
     * @param quantity as in readings
     * @param lowest lowest value that is reported, in the unit of the result
     * @param top highest standard, mg/L
     */
    public record Channel(String analyte, String quantity, double lowest, double top) {}

    /** Spread of one extraction for one analyte alone. */
    public static final double OWN_RSD = 0.022;

    /** What a run's own calibration adds: measured on clean days, where control soils scatter as {@link #totalSd} says. */
    static final double RUN_RSD = 0.003;

    private static final double[] STEPS = {0, 0.05, 0.125, 0.25, 0.5, 1};

    public static final List<Extract> ALL = List.of(
            flow("bray-p1-1-10", 10, new Channel("P", "peak", 1, 9)),
            flow("bray-p1-1-7", 50 / 7.14, new Channel("P", "peak", 1, 12)),
            flow("bray-p2", 10, new Channel("P", "peak", 1, 20)),
            flow("olsen-p", 20, new Channel("P", "peak", 1, 4)),
            flow(
                    "kcl-nitrogen",
                    10,
                    new Channel("NO3-N", "peak NO3-N", 2, 15),
                    new Channel("NH4-N", "peak NH4-N", 2, 15)),
            flow("chloride-water", 5, new Channel("Cl", "peak", 20, 250)),
            flow("paste-chloride", 1, new Channel("Cl", "peak", 2, 300)),
            flow("paste-nitrate", 1, new Channel("NO3-N", "peak", 0.25, 60)),
            plasma(
                    "nh4oac-bases",
                    10,
                    new Channel("K", "K 766.49", 7.8, 60),
                    new Channel("Ca", "Ca 430.25", 4, 600),
                    new Channel("Mg", "Mg 285.21", 1.2, 80),
                    new Channel("Na", "Na 588.96", 2.3, 60)),
            plasma(
                    "dtpa",
                    2,
                    new Channel("Zn", "Zn 213.856", 0.1, 4),
                    new Channel("Fe", "Fe 259.940", 0.1, 40),
                    new Channel("Mn", "Mn 257.610", 0.1, 40),
                    new Channel("Cu", "Cu 324.754", 0.1, 4)),
            plasma("hot-water-b", 2, new Channel("B", "B 208.9", 0.1, 2)),
            plasma("sulfate-phosphate", 2.5, new Channel("SO4-S", "S 182.037", 1, 20)),
            scooped(),
            plasma(
                    "paste-cations",
                    1,
                    new Channel("Ca", "Ca 430.253", 2, 600),
                    new Channel("Mg", "Mg 285.213", 1.2, 360),
                    new Channel("Na", "Na 589.592", 1.2, 800),
                    new Channel("K", "K 766.491", 0.5, 100),
                    new Channel("B", "B 208.9", 0.05, 5),
                    new Channel("S", "S 182.037", 0.5, 600)));

    public List<String> analytes() {
        return channels.stream().map(Channel::analyte).toList();
    }

    private static Extract flow(String method, double mlPerG, Channel... channels) {
        return new Extract(method, true, mlPerG, mlPerG == 1 ? 0 : 0.02, List.of(channels));
    }

    private static Extract plasma(String method, double mlPerG, Channel... channels) {
        return new Extract(method, false, mlPerG, mlPerG == 1 ? 0 : 0.02, List.of(channels));
    }

    private static Extract scooped() {
        List<Channel> channels = new ArrayList<>();
        for (Element element : Element.ALL) {
            channels.add(new Channel(element.symbol(), element.line(), element.lowestMgKg(), element.top()));
        }
        return new Extract("mehlich3-icp-scooped", false, 10, 0.02, channels);
    }

    /** Content of a solution, mg/L. */
    public static double solution(String name, Channel channel) {
        return switch (name) {
            case "ICV" -> 0.3 * channel.top();
            case "CCV" -> 0.5 * channel.top();
            case "CO-low" -> 0.05 * channel.top();
            case "CO-high" -> channel.top();
            default -> STEPS[name.charAt(1) - '0'] * channel.top();
        };
    }

    /** Spread of a reading near zero, mg/L of extract. */
    double noise(Channel channel) {
        return flow ? 0.0004 * channel.top() : 0.012 * channel.lowest() / mlPerG;
    }

    /** Spread of single results of one soil between runs, in the unit of the result. */
    public double totalSd(Channel channel, double value) {
        double relative = portionRsd * portionRsd + OWN_RSD * OWN_RSD + RUN_RSD * RUN_RSD;
        double floor = noise(channel) * mlPerG;
        // Beside a reading's own error near zero that of the curve, measured like the other.
        return Math.sqrt(relative * value * value + 2.5 * floor * floor);
    }
}
