package org.tenmesh.core.report;

import java.util.List;
import java.util.Optional;
import org.tenmesh.core.derived.PasteWater;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.methods.Advice;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.release.Amendment;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;

/**
 * What a client report says; the print module draws it.
 *
 * @param soils in the order of the client's sheet
 * @param methods every method used, in the order of first use
 * @param amendment what it says otherwise than the revision before it; empty for the first
 */
public record ClientReport(
        Laboratory laboratory,
        Submission submission,
        Release release,
        List<ReportedSoil> soils,
        List<Method> methods,
        Optional<Amendment> amendment) {
    /** A first revision. */
    public ClientReport(
            Laboratory laboratory,
            Submission submission,
            Release release,
            List<ReportedSoil> soils,
            List<Method> methods) {
        this(laboratory, submission, release, soils, methods, Optional.empty());
    }

    public ClientReport {
        soils = List.copyOf(soils);
        methods = List.copyOf(methods);
    }

    /** What stands in a table of several soils where a soil did not ask for a column; it is neither held nor below a limit. */
    public static final String NOT_ASKED = "not asked for";

    /** With which water pastes were made; empty when nothing of the report rests on one. */
    public Optional<String> pasteWater() {
        boolean pastes = methods.stream()
                .anyMatch(method -> PasteWater.restsOnPaste(
                        method.id(),
                        id -> methods.stream()
                                .filter(other -> other.id().equals(id))
                                .findFirst()));
        return pastes
                ? Optional.of(PasteWater.of(
                        submission, soils.stream().map(ReportedSoil::soil).toList()))
                : Optional.empty();
    }

    /** One soil with its lines, in the order of methods and analytes. */
    public record ReportedSoil(Soil soil, List<Line> lines) {
        public ReportedSoil {
            lines = List.copyOf(lines);
        }

        /** What the report says of this analyte: its text, "held" or {@link #NOT_ASKED}. */
        public String text(String method, String analyte) {
            return lines.stream()
                    .filter(line -> line.method().id().equals(method)
                            && line.analyte().symbol().equals(analyte))
                    .findFirst()
                    .map(line -> line.result().reported().isEmpty()
                            ? "held"
                            : line.result().reported())
                    .orElse(NOT_ASKED);
        }
    }

    /**
     * One line of the report.
     *
     * @param share where the number lies on the analyte's plain scale, 0 to 1; empty when there is no number
     */
    public record Line(Method method, Analyte analyte, ReleasedResult result, Optional<Double> share) {
        /** Whose advice it is, which stands apart from measurements with its deference; empty for what was measured. */
        public Optional<Advice> advice() {
            return method.regionalAdvice();
        }
    }
}
