package org.tenmesh.exchange.results;

import java.math.BigDecimal;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Pattern;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.release.Amendment;
import org.tenmesh.core.release.ReleasedCase;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.report.ClientReport;
import org.tenmesh.core.report.ClientReport.Line;
import org.tenmesh.core.report.ClientReport.ReportedSoil;
import org.tenmesh.exchange.json.Json;

/**
 * One release of a submission as JSON for other programs. It says what the signed report says: numbers as they were reported, rounded, not those
 * behind them; below a limit is a case of its own, never a number.
 */
public final class ResultDocuments {
    /** Content type of {@link #open}. */
    public static final String OPEN_TYPE = "application/vnd.modus.slim.v1.0+json";

    private static final Pattern NUMBER = Pattern.compile("-?\\d+(\\.\\d+)?");
    private static final Pattern LIMIT = Pattern.compile("[<>]\\s*(-?\\d+(\\.\\d+)?)");
    private static final DateTimeFormatter INSTANT = DateTimeFormatter.ISO_OFFSET_DATE_TIME;

    private ResultDocuments() {}

    private record Of(String labNumber, String method, String analyte) {}

    /** In the program's own form, which the description of its interface defines. */
    public static byte[] own(ClientReport report) {
        Map<Of, String> before = new HashMap<>();
        report.amendment()
                .map(Amendment::changes)
                .orElse(List.of())
                .forEach(change -> before.put(
                        new Of(change.labNumber().text(), change.method(), change.analyte()),
                        change.was().isEmpty() ? "not reported" : change.was()));
        List<Object> soils = new ArrayList<>();
        for (ReportedSoil reported : report.soils()) {
            List<Object> results = new ArrayList<>();
            reported.lines().forEach(line -> results.add(result(line, before)));
            Soil soil = reported.soil();
            Map<String, Object> one = Json.object("lab_number", soil.labNumber().text());
            if (soil.ordinal().isPresent()) {
                one.put("ordinal", soil.ordinal().getAsInt());
            }
            soil.clientLabel().ifPresent(label -> one.put("label", label));
            if (soil.topCm().isPresent() && soil.bottomCm().isPresent()) {
                one.put("top_cm", soil.topCm().getAsDouble());
                one.put("bottom_cm", soil.bottomCm().getAsDouble());
            }
            one.put("results", results);
            soils.add(one);
        }
        Map<String, Object> document = Json.object(
                "submission", report.submission().submission(),
                "received_on", report.submission().receivedAt().toLocalDate().toString(),
                "client", report.submission().client(),
                "laboratory", report.laboratory().name(),
                "invented", report.laboratory().invented(),
                "revision", report.release().revision(),
                "signed_by", report.release().signedBy(),
                "signed_at", INSTANT.format(report.release().signedAt()),
                "reason", report.release().reason());
        document.put("soils", soils);
        return bytes(document);
    }

    private static Map<String, Object> result(Line line, Map<Of, String> before) {
        ReleasedResult result = line.result();
        Map<String, Object> one = Json.object(
                "method", result.method(),
                "method_version", result.methodVersion(),
                "analyte", result.analyte(),
                "name", line.analyte().name(),
                "unit", result.unit(),
                "kind", result.kind().word());
        MethodCodes.of(result.method(), result.analyte()).ifPresent(code -> one.put("code", code));
        if (result.kind() == ReleasedCase.HELD) {
            one.put("held_because", heldBecause(result));
        } else {
            one.put("reported", result.reported());
            number(result).ifPresent(number -> one.put("number", number));
            limit(result).ifPresent(limit -> one.put("limit", limit));
            if (!result.uncertainty().isEmpty()) {
                one.put("uncertainty", result.uncertainty());
            }
            if (result.isAccepted()) {
                one.put("released_despite", result.despite());
            }
        }
        line.advice().ifPresent(advice -> one.put("advice", true));
        Optional.ofNullable(before.get(new Of(result.labNumber().text(), result.method(), result.analyte())))
                .ifPresent(was -> one.put("before", was));
        return one;
    }

    private static String heldBecause(ReleasedResult result) {
        return result.heldBecause().isBlank() ? "no number was obtained" : result.heldBecause();
    }

    private static Optional<BigDecimal> number(ReleasedResult result) {
        boolean stated = switch (result.kind()) {
            case NUMBER, NUMBER_AT_END, NUMBER_BELOW_STANDARDS -> true;
            case BELOW, ABOVE, SATURATED, NOT_ENOUGH_SOIL, CLASSED, HELD -> false;
        };
        return stated && NUMBER.matcher(result.reported()).matches()
                ? Optional.of(new BigDecimal(result.reported()))
                : Optional.empty();
    }

    private static Optional<BigDecimal> limit(ReleasedResult result) {
        if (result.kind() != ReleasedCase.BELOW && result.kind() != ReleasedCase.ABOVE) {
            return Optional.empty();
        }
        var matched = LIMIT.matcher(result.reported());
        return matched.matches() ? Optional.of(new BigDecimal(matched.group(1))) : Optional.empty();
    }

    /**
     * In the slim JSON form 1.0 of the Open Ag Data Alliance (schema {@code https://formats.openag.io/modus/slim/v1/0.schema.json}, MIT licence,
     * read in github.com/OADA/formats, commit 0766ebe). The form has no place for an uncertainty, a held result, a rating or advice: held results
     * and advice are left out, and a result below its limit is the text {@code "<3"}, never a number. A code of the list of soil tests stands
     * where it is sure.
     */
    public static byte[] open(ClientReport report) {
        Map<String, Object> samples = new LinkedHashMap<>();
        for (ReportedSoil reported : report.soils()) {
            Map<String, Object> results = new LinkedHashMap<>();
            for (Line line : reported.lines()) {
                if (line.result().kind() != ReleasedCase.HELD && line.advice().isEmpty()) {
                    results.put(Integer.toString(results.size() + 1), openResult(line.result()));
                }
            }
            Soil soil = reported.soil();
            Map<String, Object> sample = Json.object(
                    "id",
                    soil.labNumber().text(),
                    "lab",
                    Json.object("sampleid", soil.labNumber().text()));
            soil.clientLabel().ifPresent(label -> sample.put("source", Json.object("sampleid", label)));
            if (soil.topCm().isPresent() && soil.bottomCm().isPresent()) {
                sample.put(
                        "depth",
                        Json.object(
                                "top", soil.topCm().getAsDouble(),
                                "bottom", soil.bottomCm().getAsDouble(),
                                "units", "cm"));
            }
            sample.put("results", results);
            samples.put(soil.labNumber().text(), sample);
        }
        String id = report.submission().submission() + " "
                + report.submission().receivedAt().toLocalDate() + " revision "
                + report.release().revision();
        return bytes(Json.object(
                "_type",
                OPEN_TYPE,
                "id",
                id,
                "date",
                report.submission().receivedAt().toLocalDate().toString(),
                "type",
                "soil",
                "lab",
                Json.object(
                        "name", report.laboratory().name(),
                        "client", Json.object("name", report.submission().client()),
                        "dateReceived", INSTANT.format(report.submission().receivedAt()),
                        "dateProcessed", INSTANT.format(report.release().signedAt()),
                        "report",
                                Json.object(
                                        "id",
                                        id,
                                        "date",
                                        report.release()
                                                .signedAt()
                                                .toLocalDate()
                                                .toString())),
                "samples",
                samples));
    }

    private static Map<String, Object> openResult(ReleasedResult result) {
        Optional<String> code = MethodCodes.of(result.method(), result.analyte());
        Object value = number(result)
                .<Object>map(number -> number)
                .orElseGet(
                        () -> limit(result).isPresent() ? result.reported().replaceAll("\\s", "") : result.reported());
        Map<String, Object> one = Json.object(
                "analyte",
                code.map(MethodCodes::analyte).orElseGet(() -> result.analyte().toUpperCase(Locale.ROOT)),
                "value",
                value,
                "units",
                result.unit());
        code.ifPresent(known -> one.put("modusTestID", known));
        return one;
    }

    private static byte[] bytes(Map<String, Object> document) {
        return (Json.line(document) + "\n").getBytes(java.nio.charset.StandardCharsets.UTF_8);
    }
}
