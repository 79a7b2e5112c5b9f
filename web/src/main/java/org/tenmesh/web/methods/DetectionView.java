package org.tenmesh.web.methods;

import java.util.List;
import java.util.OptionalDouble;
import org.tenmesh.core.charts.DetectionStudy;
import org.tenmesh.core.charts.LowReading;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Extraction;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Significant;
import org.tenmesh.web.words.Words;

/**
 * Detection limits of one method from its blanks and low check solutions on the days kept, beside the reporting limits in force.
 *
 * @param blankTakenOff whether the method takes the mean blank of a run off every soil
 * @param rows one for each analyte that was read, in the method's order
 */
public record DetectionView(boolean blankTakenOff, List<Row> rows) {
    /**
     * One analyte.
     *
     * @param blanks how many blanks on how many days
     * @param checks the same of low check solutions, with their content
     * @param limit larger of the two detection limits, with its unit, or why there is none
     * @param reports the reporting limit in force
     * @param above whether results are reported below what can be told from nothing
     */
    public record Row(
            String name,
            String unit,
            String blanks,
            String sd,
            String ofBlanks,
            String checks,
            String ofChecks,
            String limit,
            String reports,
            boolean above) {}

    /** How many reporting limits lie below the detection limit found. */
    public int tooLow() {
        return (int) rows.stream().filter(Row::above).count();
    }

    static DetectionView of(Method method, List<LowReading> readings) {
        boolean takenOff = method.extract().map(Extraction::subtractBlank).orElse(false);
        List<DetectionStudy> studies = DetectionStudy.of(method.id(), takenOff, readings);
        return new DetectionView(
                takenOff,
                method.head().analytes().stream()
                        .flatMap(analyte -> studies.stream()
                                .filter(study -> study.analyte().equals(analyte.symbol()))
                                .map(study -> row(analyte, study)))
                        .toList());
    }

    private static Row row(Analyte analyte, DetectionStudy study) {
        return new Row(
                analyte.name(),
                analyte.unit().spelling(),
                counted(study.blanks()),
                number(study.blanks().sd()),
                number(study.blanks().limit()),
                study.checkContent().isPresent()
                        ? counted(study.checks()) + " of " + number(study.checkContent())
                        : "none",
                number(study.checks().limit()),
                study.limit().isPresent() ? number(study.limit()) : "too few",
                Words.limit(analyte.reportingLimit()),
                study.isAbove(analyte.reportingLimit()));
    }

    private static String counted(DetectionStudy.Part part) {
        return part.n() == 0 ? "none" : part.n() + " on " + Words.of(part.days(), "day");
    }

    private static String number(OptionalDouble number) {
        return number(number.orElse(Double.NaN));
    }

    private static String number(double number) {
        return Double.isFinite(number) ? Words.grouped(Significant.text(number, 2)) : "–";
    }
}
