package org.tenmesh.store.release;

import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.release.Release;

/**
 * A release that somebody signs, with its report as the client gets it.
 *
 * @param pdf at least one byte
 */
public record SignedReport(Release release, byte[] pdf, ReportForm form) {}
