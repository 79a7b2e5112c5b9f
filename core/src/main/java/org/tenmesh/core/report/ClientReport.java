package org.tenmesh.core.report;

import java.util.List;
import java.util.Optional;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;

/**
 * What a client report says; the print module draws it.
 *
 * @param soils in the order of the client's sheet
 * @param methods every method used, in the order of first use
 */
public record ClientReport(
        Laboratory laboratory, Submission submission, Release release, List<ReportedSoil> soils, List<Method> methods) {
    public ClientReport {
        soils = List.copyOf(soils);
        methods = List.copyOf(methods);
    }

    /** One soil with its lines, in the order of methods and analytes. */
    public record ReportedSoil(Soil soil, List<Line> lines) {
        public ReportedSoil {
            lines = List.copyOf(lines);
        }
    }

    /**
     * One line of the report.
     *
     * @param share where the number lies on the analyte's plain scale, 0 to 1; empty when there is no number
     */
    public record Line(Method method, Analyte analyte, ReleasedResult result, Optional<Double> share) {}
}
