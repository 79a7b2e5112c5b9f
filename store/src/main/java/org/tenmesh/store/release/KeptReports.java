package org.tenmesh.store.release;

import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.HexFormat;
import java.util.Optional;
import org.jdbi.v3.core.Handle;
import org.tenmesh.core.judgement.ReportForm;

/** The rows in which reports are kept. */
final class KeptReports {
    private KeptReports() {}

    /** Keeps the report of a release and returns its digest. */
    static String keep(Handle handle, int release, byte[] pdf, ReportForm form, Instant at, boolean later) {
        String sha256 = sha256(pdf);
        handle.createUpdate("""
                        insert into release.report (release, made_at, made_later, paper, layout, sha256, pdf)
                        values (:release, :at, :later, :paper, :layout, :sha256, :pdf)
                        """)
                .bind("release", release)
                .bind("at", at.atOffset(ZoneOffset.UTC))
                .bind("later", later)
                .bind("paper", form.paper().word())
                .bind("layout", form.layout().word())
                .bind("sha256", sha256)
                .bind("pdf", pdf)
                .execute();
        return sha256;
    }

    static Optional<KeptReport> of(Handle handle, int submission, int revision) {
        return handle.createQuery("""
                        select p.pdf, p.sha256, p.made_at, p.made_later, p.paper, p.layout
                        from release.report p join release.release r on r.id = p.release
                        where r.submission_id = :submission and r.revision = :revision
                        """)
                .bind("submission", submission)
                .bind("revision", revision)
                .map((rs, ctx) -> new KeptReport(
                        rs.getBytes("pdf"),
                        rs.getString("sha256"),
                        rs.getObject("made_at", OffsetDateTime.class).toInstant(),
                        rs.getBoolean("made_later"),
                        form(rs.getString("paper"), rs.getString("layout"))))
                .findOne();
    }

    /** The form in which the newest report of a submission was made. */
    static Optional<ReportForm> lastForm(Handle handle, int submission) {
        return handle.createQuery("""
                        select p.paper, p.layout from release.report p join release.release r on r.id = p.release
                        where r.submission_id = :submission order by r.revision desc limit 1
                        """)
                .bind("submission", submission)
                .map((rs, ctx) -> form(rs.getString("paper"), rs.getString("layout")))
                .findOne();
    }

    private static ReportForm form(String paper, String layout) {
        ReportForm usual = ReportForm.defaults();
        return new ReportForm(
                ReportForm.Paper.of(paper).orElse(usual.paper()),
                ReportForm.Layout.of(layout).orElse(usual.layout()));
    }

    static String sha256(byte[] bytes) {
        try {
            return HexFormat.of().formatHex(MessageDigest.getInstance("SHA-256").digest(bytes));
        } catch (NoSuchAlgorithmException impossible) {
            throw new IllegalStateException("every Java has SHA-256", impossible);
        }
    }
}
