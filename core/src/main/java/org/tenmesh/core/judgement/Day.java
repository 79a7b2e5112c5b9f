package org.tenmesh.core.judgement;

import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
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
 * @param lost lines of the input that could not be taken and guard or identify something
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
        ControlHistory history,
        List<LostLine> lost) {
    /** A day of which every line could be taken. */
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
            List<Shortage> shortages,
            ControlHistory history) {
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
                history,
                List.of());
    }

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
        lost = List.copyOf(lost);
    }

    /** The date on which a run started, by the clock of the laboratory's zone: its method holds in the version of this date. */
    public LocalDate dateOf(Run run) {
        return dateOf(run.startedAt());
    }

    private LocalDate dateOf(OffsetDateTime at) {
        return at.atZoneSameInstant(ZoneId.of(laboratory.zone())).toLocalDate();
    }

    /**
     * The laboratory day: the date on which most of its runs started, of equally many the later one, so that neither a run of the
     * evening before nor one made again the morning after moves it. Without runs the date of the newest submission, without those
     * 1970-01-01. What is calculated for the day holds in the version of this date.
     */
    public LocalDate date() {
        Map<LocalDate, Integer> runsOn = new TreeMap<>();
        runs.forEach(run -> runsOn.merge(dateOf(run), 1, Integer::sum));
        return runsOn.entrySet().stream()
                .max(Map.Entry.<LocalDate, Integer>comparingByValue().thenComparing(Map.Entry.comparingByKey()))
                .map(Map.Entry::getKey)
                .or(() -> submissions.stream()
                        .map(submission -> dateOf(submission.receivedAt()))
                        .max(Comparator.naturalOrder()))
                .orElse(LocalDate.EPOCH);
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
                earlier,
                lost);
    }

    /** The same day with these runs. */
    public Day withRuns(List<Run> others) {
        return new Day(
                laboratory,
                submissions,
                soils,
                trays,
                controls,
                materials,
                standards,
                others,
                packages,
                shortages,
                history,
                lost);
    }

    /** The same day of which these lines of the input could not be taken. */
    public Day losing(List<LostLine> lines) {
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
                history,
                lines);
    }
}
