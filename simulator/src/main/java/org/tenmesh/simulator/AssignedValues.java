package org.tenmesh.simulator;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Standard;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.simulator.bench.Faults;
import org.tenmesh.simulator.instruments.ElectrodeModel;
import org.tenmesh.simulator.instruments.EmissionModel;
import org.tenmesh.simulator.instruments.HandModel;
import org.tenmesh.simulator.instruments.IgnitionModel;
import org.tenmesh.simulator.instruments.PlasmaSheet;
import org.tenmesh.simulator.numbers.Decimals;
import org.tenmesh.simulator.soils.ControlSoil;
import org.tenmesh.simulator.soils.Element;
import org.tenmesh.simulator.soils.Extract;
import org.tenmesh.simulator.soils.SoilContent;
import org.tenmesh.simulator.soils.WholeSoil;

/** What is true of the control soils, and what the laboratory knows of standards and check solutions. */
final class AssignedValues {
    private AssignedValues() {}

    /** Of the control soils by the three usual methods the true means and the true spread between runs. */
    static List<Material> materials() {
        List<Material> materials = new ArrayList<>();
        for (ControlSoil soil : ControlSoil.ALL) {
            SoilContent content = soil.content();
            materials.add(material(soil, ElectrodeModel.METHOD, "pH", content.ph(), ElectrodeModel.totalSd(), Unit.PH));
            materials.add(material(
                    soil,
                    IgnitionModel.METHOD,
                    "LOI",
                    content.loiPct(),
                    IgnitionModel.totalSd(content.loiPct()),
                    Unit.PERCENT));
            for (int e = 0; e < content.mgKg().length; e++) {
                Element element = Element.ALL.get(e);
                double mgKg = content.mgKg()[e];
                materials.add(material(
                        soil,
                        EmissionModel.METHOD,
                        element.symbol(),
                        mgKg,
                        element.totalSd(mgKg),
                        Unit.MILLIGRAM_PER_KILOGRAM));
            }
        }
        return materials;
    }

    /** The same by the further methods. */
    static List<Material> routineMaterials() {
        List<Material> known = new ArrayList<>();
        for (ControlSoil soil : ControlSoil.ALL) {
            WholeSoil whole = WholeSoil.ofMaterial(soil.name());
            for (String method : Routine.ELECTRODE) {
                known.add(material(
                        soil,
                        method,
                        ElectrodeModel.analyte(method),
                        whole.of(method, ElectrodeModel.analyte(method)),
                        ElectrodeModel.totalSd(),
                        Unit.PH));
            }
            for (Extract extract : Extract.ALL) {
                for (Extract.Channel channel : extract.channels()) {
                    double mean = whole.of(extract.method(), channel.analyte());
                    known.add(material(
                            soil,
                            extract.method(),
                            channel.analyte(),
                            mean,
                            extract.totalSd(channel, mean),
                            unit(extract.method())));
                }
            }
            for (String method : HandModel.METHODS) {
                for (String analyte : HandModel.analytes(method)) {
                    double mean = whole.of(method, analyte);
                    known.add(material(soil, method, analyte, mean, HandModel.totalSd(method, mean), unit(method)));
                }
            }
        }
        return known;
    }

    private static Unit unit(String method) {
        return switch (method) {
            case "mehlich3-icp-scooped" -> Unit.MILLIGRAM_PER_LITRE_OF_SOIL;
            case "paste-cations", "paste-chloride", "paste-nitrate" -> Unit.MILLIGRAM_PER_LITRE;
            case "paste-bicarbonate" -> Unit.MILLIEQUIVALENT_PER_LITRE;
            case "ec-1-1", "ec-1-2", "ec-1-5", "ec-paste" -> Unit.DECISIEMENS_PER_METRE;
            case "moisture-air-dry", "coarse-fragments", "texture-hydrometer", "oc-wet-oxidation", "saturated-paste" ->
                Unit.PERCENT;
            default -> Unit.MILLIGRAM_PER_KILOGRAM;
        };
    }

    private static Material material(
            ControlSoil soil, String method, String analyte, double mean, double sd, Unit unit) {
        return new Material(soil.name(), method, analyte, mean, sd, unit, OptionalInt.empty());
    }

    static List<Standard> standards() {
        List<Standard> standards = new ArrayList<>();
        for (String buffer : List.of("4.01", "5.00", "7.00", "9.00", "10.01")) {
            boolean judges = !buffer.equals("4.01") && !buffer.equals("10.01");
            standards.add(new Standard(
                    ElectrodeModel.METHOD,
                    buffer,
                    "pH",
                    Double.parseDouble(buffer),
                    Unit.PH,
                    judges ? OptionalDouble.of(Faults.PH_TOLERANCE) : OptionalDouble.empty(),
                    OptionalDouble.empty()));
        }
        for (String name : List.of("WS1", "WS2", "WS3", "WS4", "WS5", "WS6", "ICV", "LLC", "CCV")) {
            double[] values = PlasmaSheet.contents(name);
            for (int e = 0; e < values.length; e++) {
                standards.add(new Standard(
                        EmissionModel.METHOD,
                        name,
                        Element.ALL.get(e).symbol(),
                        Decimals.significant(values[e], 6),
                        Unit.MILLIGRAM_PER_LITRE,
                        OptionalDouble.empty(),
                        tolerancePct(name)));
            }
        }
        return standards;
    }

    /** Assigned values of the further methods' standards and checks. */
    static List<Standard> routineStandards() {
        List<Standard> standards = new ArrayList<>();
        for (String method : Routine.ELECTRODE) {
            for (String buffer : List.of("4.01", "5.00", "7.00", "9.00", "10.01")) {
                boolean judges = !buffer.equals("4.01") && !buffer.equals("10.01");
                standards.add(new Standard(
                        method,
                        buffer,
                        "pH",
                        Double.parseDouble(buffer),
                        Unit.PH,
                        judges ? OptionalDouble.of(Faults.PH_TOLERANCE) : OptionalDouble.empty(),
                        OptionalDouble.empty()));
            }
        }
        for (Extract extract : Extract.ALL) {
            for (String name : List.of("S0", "S1", "S2", "S3", "S4", "S5", "ICV", "CCV")) {
                for (Extract.Channel channel : extract.channels()) {
                    standards.add(new Standard(
                            extract.method(),
                            name,
                            channel.analyte(),
                            Decimals.significant(Extract.solution(name, channel), 6),
                            Unit.MILLIGRAM_PER_LITRE,
                            OptionalDouble.empty(),
                            name.startsWith("S") ? OptionalDouble.empty() : OptionalDouble.of(10)));
                }
            }
        }
        for (String method : HandModel.METHODS) {
            if (method.startsWith("ec-")) {
                standards.add(conductivity(method, "KCl-0.01", 1.413));
                standards.add(conductivity(method, "KCl-0.1", 12.88));
            }
        }
        return standards;
    }

    private static Standard conductivity(String method, String name, double dsPerM) {
        return new Standard(
                method, name, "EC", dsPerM, Unit.DECISIEMENS_PER_METRE, OptionalDouble.empty(), OptionalDouble.of(5));
    }

    private static OptionalDouble tolerancePct(String solution) {
        return switch (solution) {
            case "ICV", "CCV" -> OptionalDouble.of(100 * Faults.SOLUTION_TOLERANCE);
            case "LLC" -> OptionalDouble.of(20);
            default -> OptionalDouble.empty();
        };
    }
}
