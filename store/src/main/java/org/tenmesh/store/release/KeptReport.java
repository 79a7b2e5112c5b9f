package org.tenmesh.store.release;

import java.time.Instant;
import org.tenmesh.core.judgement.ReportForm;

/**
 * A report as it is kept.
 *
 * @param sha256 of the bytes, 64 lower-case hexadecimal digits
 * @param later whether it was made after the release, which then is older than the keeping of reports
 */
public record KeptReport(byte[] pdf, String sha256, Instant madeAt, boolean later, ReportForm form) {}
