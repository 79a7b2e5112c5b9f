package org.tenmesh.core.judgement;

import java.util.List;
import java.util.Map;
import org.tenmesh.core.charts.ControlHistory;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.reduction.Run;

/**
 * One laboratory day: what came in, where every soil sat, what every instrument said.
 *
 * @param laboratory who and how
 * @param packages the named sets of methods that submissions and soils ask for; a name that is not there asks for nothing known
 * @param shortages portions that could not be taken
 * @param history what control soils gave on earlier days; sealed like {@code controls}
 * @param controls sealed: which lab numbers are hidden controls, and of which material
 */
public record Day(
        Laboratory laboratory,
        List<Submission> submissions,
        List<Soil> soils,
        List<Tray> trays,
        Map<LabNumber, String> controls,
        List<Material> materials,
        List<Standard> standards,
        List<Run> runs,
        List<TestPackage> packages,
        List<Shortage> shortages,
        ControlHistory history) {
    /** A day without history. */
    public Day(
            Laboratory laboratory,
            List<Submission> submissions,
            List<Soil> soils,
            List<Tray> trays,
            Map<LabNumber, String> controls,
            List<Material> materials,
            List<Standard> standards,
            List<Run> runs,
            List<TestPackage> packages,
            List<Shortage> shortages) {
        this(
                laboratory,
                submissions,
                soils,
                trays,
                controls,
                materials,
                standards,
                runs,
                packages,
                shortages,
                ControlHistory.NONE);
    }

    /** A day of which no packages are known. */
    public Day(
            Laboratory laboratory,
            List<Submission> submissions,
            List<Soil> soils,
            List<Tray> trays,
            Map<LabNumber, String> controls,
            List<Material> materials,
            List<Standard> standards,
            List<Run> runs) {
        this(laboratory, submissions, soils, trays, controls, materials, standards, runs, List.of(), List.of());
    }

    public Day {
        submissions = List.copyOf(submissions);
        soils = List.copyOf(soils);
        trays = List.copyOf(trays);
        controls = Map.copyOf(controls);
        materials = List.copyOf(materials);
        standards = List.copyOf(standards);
        runs = List.copyOf(runs);
        packages = List.copyOf(packages);
        shortages = List.copyOf(shortages);
    }

    /** The same day with what earlier days say of its control soils. */
    public Day with(ControlHistory earlier) {
        return new Day(
                laboratory,
                submissions,
                soils,
                trays,
                controls,
                materials,
                standards,
                runs,
                packages,
                shortages,
                earlier);
    }
}
