package org.tenmesh.core.report;

import java.time.LocalDate;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.methods.NoMethodVersion;
import org.tenmesh.core.release.Amendment;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;

/** Composes what a report says from what was released, and from nothing else. */
public final class ClientReports {
    private ClientReports() {}

    /**
     * The report of one release.
     *
     * @param soils the submission's soils, in the order of the client's sheet
     * @param before the revision that it replaces; empty for the first
     * @throws IllegalArgumentException if the release names a method, version or analyte that is not known
     */
    public static ClientReport of(
            Laboratory laboratory,
            Submission submission,
            List<Soil> soils,
            Release release,
            Optional<Release> before,
            MethodBook methods) {
        Map<LabNumber, List<ClientReport.Line>> lines = new HashMap<>();
        List<Method> used = new ArrayList<>();
        for (ReleasedResult result : release.results()) {
            Method method = version(release, result, methods);
            Analyte analyte = method.analyte(result.analyte())
                    .orElseThrow(() -> new IllegalArgumentException(
                            "method " + result.method() + " reports no " + result.analyte()));
            if (!used.contains(method)) {
                used.add(method);
            }
            lines.computeIfAbsent(result.labNumber(), lab -> new ArrayList<>())
                    .add(new ClientReport.Line(method, analyte, result, share(result, analyte)));
        }
        List<String> methodOrder = used.stream().map(Method::id).distinct().toList();
        List<ClientReport.ReportedSoil> reported = soils.stream()
                .map(soil -> new ClientReport.ReportedSoil(
                        soil, ordered(lines.getOrDefault(soil.labNumber(), List.of()), methodOrder)))
                .toList();
        return new ClientReport(
                laboratory,
                submission,
                release,
                reported,
                used,
                before.map(earlier -> Amendment.between(earlier, release)));
    }

    private static Method version(Release release, ReleasedResult result, MethodBook methods) {
        try {
            return methods.version(result.method(), LocalDate.parse(result.methodVersion()));
        } catch (NoMethodVersion | DateTimeParseException unknown) {
            throw new IllegalArgumentException(
                    "release of " + release.submission() + " revision " + release.revision() + ", " + result.labNumber()
                            + " " + result.analyte() + ": " + unknown.getMessage(),
                    unknown);
        }
    }

    private static List<ClientReport.Line> ordered(List<ClientReport.Line> lines, List<String> methodOrder) {
        return lines.stream()
                .sorted((a, b) -> {
                    int byMethod = Integer.compare(
                            methodOrder.indexOf(a.method().id()),
                            methodOrder.indexOf(b.method().id()));
                    return byMethod != 0
                            ? byMethod
                            : Integer.compare(
                                    a.method().head().analytes().indexOf(a.analyte()),
                                    b.method().head().analytes().indexOf(b.analyte()));
                })
                .toList();
    }

    private static Optional<Double> share(ReleasedResult result, Analyte analyte) {
        if (result.value().isEmpty()) {
            return Optional.empty();
        }
        double span = analyte.scaleHigh() - analyte.scaleLow();
        double share = (result.value().getAsDouble() - analyte.scaleLow()) / span;
        return Optional.of(Math.max(0, Math.min(1, share)));
    }
}
