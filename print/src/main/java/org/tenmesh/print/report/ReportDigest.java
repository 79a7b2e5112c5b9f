package org.tenmesh.print.report;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.report.ClientReport;
import org.tenmesh.core.report.ClientReport.ReportedSoil;

/**
 * What a report says, as one SHA-256 digest. It is printed on the report, so it cannot cover the file itself; the store keeps the
 * digest of that.
 */
public final class ReportDigest {
    private final MessageDigest sha;

    private ReportDigest() {
        try {
            sha = MessageDigest.getInstance("SHA-256");
        } catch (NoSuchAlgorithmException impossible) {
            throw new IllegalStateException("every Java has SHA-256", impossible);
        }
    }

    /**
     * The digest of a report as 64 lower-case hexadecimal digits: over the laboratory's name, the client, submission, revision, who
     * signed, when (ISO 8601), reason, then for each soil lab number, label and depths, then for each result lab number, method,
     * version, analyte, value, unit, reported text, uncertainty, reason for holding, its kind where the text alone would say
     * another, and the failed check where somebody accepted one. Each field is its UTF-8 bytes after their number as four bytes,
     * most significant first, so that no two reports share a text.
     */
    public static String of(ClientReport report) {
        ReportDigest digest = new ReportDigest();
        digest.field(report.laboratory().name());
        digest.field(report.submission().client());
        digest.field(report.release().submission());
        digest.field(Integer.toString(report.release().revision()));
        digest.field(report.release().signedBy());
        digest.field(report.release().signedAt().toString());
        digest.field(report.release().reason());
        digest.field(Integer.toString(report.soils().size()));
        for (ReportedSoil reported : report.soils()) {
            Soil soil = reported.soil();
            digest.field(soil.labNumber().text());
            digest.field(soil.clientLabel().orElse(""));
            digest.field(ReportCells.depth(soil));
        }
        for (ReleasedResult result : report.release().results()) {
            digest.result(result);
        }
        return HexFormat.of().formatHex(digest.sha.digest());
    }

    private void result(ReleasedResult result) {
        field(result.labNumber().text());
        field(result.method());
        field(result.methodVersion());
        field(result.analyte());
        field(result.value().isPresent() ? Double.toString(result.value().getAsDouble()) : "");
        field(result.unit());
        field(result.reported());
        field(result.uncertainty());
        field(result.heldBecause());
        if (result.saysMoreThanItsText()) {
            field(result.kind().word());
        }
        if (result.isAccepted()) {
            field("accepted although: " + result.despite());
        }
    }

    private void field(String text) {
        byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
        sha.update(ByteBuffer.allocate(4).putInt(bytes.length).array());
        sha.update(bytes);
    }
}
