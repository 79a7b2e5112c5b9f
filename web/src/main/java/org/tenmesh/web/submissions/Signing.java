package org.tenmesh.web.submissions;

import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.judgement.ReportForms;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.release.Releasing;
import org.tenmesh.core.release.SecondPerson;
import org.tenmesh.core.report.ClientReport;
import org.tenmesh.core.report.ClientReports;
import org.tenmesh.print.report.Reports;
import org.tenmesh.store.people.FormerName;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.release.SignedReport;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.PasswordAgain;
import org.tenmesh.web.http.Rights;
import org.tenmesh.web.http.Visit;

/** One act of signing: one password, one or several submissions, each with a release and a report of its own; all or none. */
record Signing(PageContext context, Visit visit, Desk desk) {
    /** Why nothing was released. */
    record Refusal(String says, int status) {}

    /** A submission to be released, with the revision that the page showed and the form of its report. */
    record Wanted(String submission, String revision, ReportForm form) {}

    static List<ReleasedResult> drafted(PageContext context, Desk desk, String submission) {
        List<Soil> soils = desk.soilsOf(submission);
        return Releasing.draft(desk.day(), soils, desk.standing(submission), desk.ruled(), context.methods());
    }

    /** What a release says to the client. */
    static ClientReport report(PageContext context, Desk desk, Submission submission, Release release) {
        Optional<Release> before = desk.releases(submission.submission()).stream()
                .filter(r -> r.revision() == release.revision() - 1)
                .findFirst();
        return ClientReports.of(
                desk.day().laboratory(),
                submission,
                desk.soilsOf(submission.submission()),
                release,
                before,
                context.methods());
    }

    /** The release that would be signed now. */
    Release next(String submission, String reason) {
        OffsetDateTime now = context.clock().instant().atZone(desk.zone()).toOffsetDateTime();
        return new Release(
                submission,
                desk.releases(submission).size() + 1,
                visit.actor(),
                now,
                reason,
                drafted(context, desk, submission));
    }

    /** The form of a submission's last report, or the one that the laboratory set for its client. */
    ReportForm form(String submission) {
        return context.store().lastReportForm(desk.name(), submission).orElseGet(() -> set(desk, submission));
    }

    /** The form that the laboratory set for the client of a submission, or for all. */
    static ReportForm set(Desk desk, String submission) {
        ReportForms forms = desk.day().laboratory().reports();
        return desk.submission(submission)
                .map(known -> forms.of(known.client()))
                .orElse(forms.usual());
    }

    /** Why this person may not sign, where the laboratory asks for a second one; empty text when nothing stands against it. */
    String secondSignature(String submission) {
        List<String> signers = context.store().people().stream()
                .filter(person -> person.active() && Rights.ACT.contains(person.role()))
                .map(Person::name)
                .toList();
        return didTheWork(submission, signers)
                .or(() -> accepted(submission, signers))
                .orElse("");
    }

    /** A release of which every result is held approves nothing. */
    private Optional<String> didTheWork(String submission, List<String> signers) {
        SecondPerson rule = context.store().secondPerson().stream().findFirst().orElseGet(SecondPerson::shipped);
        return rule.asked()
                        && drafted(context, desk, submission).stream()
                                .anyMatch(result -> result.heldBecause().isEmpty())
                ? rule.refuses(visit.actor(), context.store().workBehind(desk.name(), submission), signers)
                : Optional.empty();
    }

    private Optional<String> accepted(String submission, List<String> signers) {
        if (!desk.day().laboratory().acceptedFailures().secondSignature()) {
            return Optional.empty();
        }
        return desk.acceptances()
                .refusesToSign(
                        visit.actor(),
                        desk.standing(submission),
                        signers,
                        context.store().formerNames().stream()
                                .collect(Collectors.toMap(FormerName::name, FormerName::person)));
    }

    /** Releases all of them with their reports, or none; empty when it was done. */
    Optional<Refusal> sign(List<Wanted> wanted) {
        Optional<Refusal> changed = changed(wanted);
        if (changed.isPresent()) {
            return changed;
        }
        String reason = visit.form("reason");
        if (reason.isEmpty()) {
            return Optional.of(new Refusal("A release needs a reason, for the report and the journal.", 400));
        }
        for (Wanted one : wanted) {
            String refusal = secondSignature(one.submission());
            if (!refusal.isEmpty()) {
                return Optional.of(new Refusal(named(wanted, one) + refusal + " Nothing was released.", 403));
            }
        }
        Optional<Refusal> password = password();
        if (password.isPresent()) {
            return password;
        }
        List<SignedReport> signed = new ArrayList<>();
        for (Wanted one : wanted) {
            Release release = next(one.submission(), reason);
            List<Release> before = desk.releases(one.submission());
            // A client who has a report must be told when everything of it is held by now.
            if (before.isEmpty()
                    && release.results().stream().noneMatch(r -> r.heldBecause().isEmpty())) {
                return Optional.of(new Refusal(
                        named(wanted, one) + "Nothing of this submission can be released yet. Nothing was released.",
                        409));
            }
            if (!before.isEmpty() && before.get(before.size() - 1).results().equals(release.results())) {
                return Optional.of(new Refusal(
                        named(wanted, one) + "Nothing has changed since the last revision. Nothing was released.",
                        409));
            }
            try {
                Submission submission = desk.submission(one.submission()).orElseThrow();
                signed.add(new SignedReport(
                        release, Reports.pdf(report(context, desk, submission, release), one.form()), one.form()));
            } catch (IllegalArgumentException unknown) {
                return Optional.of(new Refusal(
                        named(wanted, one) + "The report cannot be made: " + unknown.getMessage()
                                + ". Nothing was released.",
                        409));
            }
        }
        if (heldMeanwhile()) {
            context.currentDay().renew();
            return Optional.of(new Refusal(
                    "Somebody held or decided something of this day after the page was drawn. Nothing was released;"
                            + " look again and sign.",
                    409));
        }
        try {
            context.store().release(desk.name(), signed);
        } catch (Refused refused) {
            return Optional.of(new Refusal("Nothing was released: " + refused.getMessage() + ".", 409));
        }
        context.currentDay().renew();
        return Optional.empty();
    }

    /** By another server, say, of which this one has not heard yet. */
    private boolean heldMeanwhile() {
        return !context.store().holds().state().equals(desk.holds().state())
                || context.store().actions(desk.name()).size() != desk.acted().size();
    }

    private Optional<Refusal> changed(List<Wanted> wanted) {
        if (wanted.isEmpty()) {
            return Optional.of(new Refusal("No submission was chosen. Nothing was released.", 400));
        }
        for (Wanted one : wanted) {
            if (desk.promise(one.submission()).isEmpty()) {
                return Optional.of(new Refusal(
                        "Submission " + one.submission() + " is not there any more. Nothing was released.", 404));
            }
            if (!one.revision()
                    .equals(Integer.toString(desk.releases(one.submission()).size() + 1))) {
                return Optional.of(new Refusal(
                        named(wanted, one)
                                + "Somebody released this submission while the page was open. Nothing was released now;"
                                + " look at it as it stands.",
                        409));
            }
        }
        return visit.form("version").equals(visit.version())
                ? Optional.empty()
                : Optional.of(new Refusal(
                        "The day changed after this page was drawn, so what you saw may not be what would be released."
                                + " Nothing was released; look again and sign.",
                        409));
    }

    private Optional<Refusal> password() {
        return PasswordAgain.wrong(context, visit, "Nothing was released.")
                .map(wrong -> new Refusal(wrong.says(), wrong.status()));
    }

    /** Of several submissions the one that is meant. */
    private static String named(List<Wanted> wanted, Wanted one) {
        return wanted.size() == 1 ? "" : one.submission() + ": ";
    }

    /** The submissions that were ticked, each with the revision that the page showed. */
    List<Wanted> ticked() {
        Map<String, String> fields = new LinkedHashMap<>(visit.form());
        List<Wanted> wanted = new ArrayList<>();
        fields.forEach((field, revision) -> {
            if (field.startsWith(TICK)) {
                String name = field.substring(TICK.length());
                wanted.add(new Wanted(name, revision, form(name)));
            }
        });
        return wanted;
    }

    /** Before the name of a submission in the name of its box. */
    static final String TICK = "sign.";
}
