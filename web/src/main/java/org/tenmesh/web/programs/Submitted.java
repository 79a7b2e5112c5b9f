package org.tenmesh.web.programs;

import java.nio.charset.StandardCharsets;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.digest.Sha256;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.report.ClientReport;
import org.tenmesh.core.report.ClientReports;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.json.Json;
import org.tenmesh.exchange.results.ResultDocuments;
import org.tenmesh.exchange.worksheets.SentSubmission;
import org.tenmesh.print.report.ReportFiles;
import org.tenmesh.store.programs.ProgramToken;
import org.tenmesh.store.programs.Registrations;
import org.tenmesh.store.programs.Scope;
import org.tenmesh.store.record.LaboratoryRecord.KnownSubmission;
import org.tenmesh.store.sheets.KeptSheet;
import org.tenmesh.store.sheets.Sheets;
import org.tenmesh.web.http.PageContext;

/** Submissions: registered, how far they are, and what was released of them. */
final class Submitted {
    private static final String HOME = Interface.HOME + "/submissions";
    private static final int MOST_SOILS = 5_000;
    private static final int USUAL_LISTED = 200;
    private static final int MOST_LISTED = 1000;
    private static final String XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";
    private static final List<String> FORMS = List.of("application/json", "text/csv", XLSX, ResultDocuments.OPEN_TYPE);

    private Submitted() {}

    static Endpoint register(PageContext context) {
        return new Endpoint("POST", HOME, Optional.of(Scope.REGISTER), Set.of(), asked -> register(context, asked));
    }

    static Endpoint list(PageContext context) {
        return new Endpoint(
                "GET",
                HOME,
                Optional.of(Scope.RESULTS),
                Set.of("day", "after", "limit"),
                asked -> list(context, asked));
    }

    static Endpoint one(PageContext context) {
        return new Endpoint(
                "GET",
                HOME + "/{submission}",
                Optional.of(Scope.RESULTS),
                Set.of("received_on"),
                asked -> one(context, asked));
    }

    static Endpoint results(PageContext context) {
        return new Endpoint(
                "GET",
                HOME + "/{submission}/results",
                Optional.of(Scope.RESULTS),
                Set.of("received_on", "revision"),
                asked -> results(context, asked));
    }

    private static Endpoint.Reply register(PageContext context, Endpoint.Asked asked) {
        if (!asked.key().matches("[\\x21-\\x7e]{1,120}")) {
            return Problems.BAD_REQUEST.reply(
                    "The header Idempotency-Key holds 1 to 120 printable characters without blanks, the same when the same"
                            + " submission is sent again. Nothing was done.");
        }
        // What was answered before is answered again, whatever would be said of it now.
        Optional<Registrations.Outcome> before =
                context.store().programs().before(asked.its(), asked.key(), asked.body());
        String file = asked.its().program() + ".json";
        SentSubmission read = SentSubmission.read(file, asked.body(), new Limits(Interface.MOST_BYTES, MOST_SOILS));
        if (before.isPresent()) {
            return registered(asked, before.get(), read);
        }
        if (!read.sheet().problems().isEmpty()) {
            List<Object> errors = new ArrayList<>();
            for (Problem one : read.sheet().problems()) {
                errors.add(Json.object("pointer", one.column(), "found", one.found(), "expected", one.expected()));
            }
            return Problems.INVALID.reply(
                    "The submission cannot be taken as it is; errors says where and what was expected. Nothing was done.",
                    errors);
        }
        Optional<String> packageName = read.sheet().packageName();
        Optional<Desk> desk = context.currentDay().desk();
        List<Object> unknown = new ArrayList<>();
        desk.filter(one -> !one.day().packages().isEmpty()).ifPresent(one -> {
            Set<String> known = new java.util.TreeSet<>();
            one.day().packages().forEach(its -> known.add(its.name()));
            packageName
                    .filter(name -> !known.contains(name))
                    .ifPresent(name -> unknown.add(unknown("/package", name, known)));
            for (int i = 0; i < read.sheet().samples().size(); i++) {
                String place = "/soils/" + i + "/package";
                read.sheet()
                        .samples()
                        .get(i)
                        .packageName()
                        .filter(name -> !known.contains(name) && unknown.size() < 20)
                        .ifPresent(name -> unknown.add(unknown(place, name, known)));
            }
        });
        if (!unknown.isEmpty()) {
            return Problems.INVALID.reply(
                    "A package is asked for that this laboratory does not have. Nothing was done.", unknown);
        }
        Instant now = context.clock().instant();
        ZoneId zone = desk.map(Desk::zone).orElse(ZoneOffset.UTC);
        Registrations.Outcome outcome = context.store()
                .programs()
                .register(
                        asked.its(),
                        asked.key(),
                        file,
                        asked.body(),
                        new KeptSheet.Said(
                                read.sheet().client().orElseThrow(),
                                read.promisedOn(),
                                packageName,
                                read.sheet().note()),
                        now,
                        now.atZone(zone).toLocalDate());
        return registered(asked, outcome, read);
    }

    private static Endpoint.Reply registered(Endpoint.Asked asked, Registrations.Outcome outcome, SentSubmission read) {
        if (outcome instanceof Registrations.OtherBody other) {
            return Problems.KEY_USED.reply("The same key came before with another body and is submission "
                    + other.submission() + ". Send another submission under a key of its own. Nothing was done.");
        }
        if (outcome instanceof Registrations.OtherRegister other) {
            return Problems.OTHER_REGISTER.reply("The laboratory works in the register " + other.register()
                    + " now, and this token is for " + asked.its().register() + ". Nothing was done.");
        }
        Registrations.Kept kept = (Registrations.Kept) outcome;
        // The same answer whenever it is sent again, its status included.
        return json(
                        201,
                        Json.object(
                                "submission",
                                kept.submission(),
                                "taken_at",
                                kept.at().toString(),
                                "soils",
                                read.sheet().samples().size(),
                                "sha256",
                                Sheets.sha256(asked.body())))
                .with("Location", HOME + "/" + kept.submission());
    }

    private static Map<String, Object> unknown(String pointer, String name, Set<String> known) {
        return Json.object(
                "pointer", pointer, "found", Problem.quoted(name), "expected", "one of " + String.join(", ", known));
    }

    private static Endpoint.Reply list(PageContext context, Endpoint.Asked asked) {
        String day = asked.query().getOrDefault("day", "");
        String after = asked.query().getOrDefault("after", "0");
        Optional<Integer> limit = Followed.limit(asked, USUAL_LISTED, MOST_LISTED);
        if (day.isEmpty() || !after.matches("\\d{1,9}") || limit.isEmpty()) {
            return Problems.BAD_REQUEST.reply(
                    "day names a day, after holds what an earlier answer gave as next, limit is a"
                            + " whole number from 1 to " + MOST_LISTED + ". Nothing was done.");
        }
        // What a token does not see is not counted either.
        List<KnownSubmission> all = context.store().programs().submissionsOf(day).stream()
                .filter(one -> sees(context, asked.its(), one))
                .toList();
        int from = Math.min(Integer.parseInt(after), all.size());
        int to = Math.min(from + limit.get(), all.size());
        List<Object> listed = new ArrayList<>();
        for (KnownSubmission one : all.subList(from, to)) {
            listed.add(summary(one));
        }
        return json(200, Json.object("submissions", listed, "next", Integer.toString(to), "more", to < all.size()));
    }

    private static boolean sees(PageContext context, ProgramToken token, KnownSubmission one) {
        return one.key().register().equals(token.register())
                && (!token.ownOnly()
                        || context.store().programs().isOwn(token, one.key().submission()));
    }

    private static Map<String, Object> summary(KnownSubmission one) {
        Map<String, Object> out = Json.object(
                "submission", one.key().submission(),
                "received_on", one.key().receivedOn().toString(),
                "client", one.submission().client(),
                "soils", one.labNumbers().size(),
                "state", one.revision() == 0 ? "in-work" : one.released() ? "released" : "released-in-part",
                "revision", one.revision(),
                "held", one.held());
        one.submission().promisedOn().ifPresent(date -> out.put("promised_on", date.toString()));
        one.submission().packageName().ifPresent(name -> out.put("package", name));
        return out;
    }

    /** The submission of this name that the token sees, the one received last where no date is given. */
    private static Optional<KnownSubmission> known(PageContext context, Endpoint.Asked asked) {
        String date = asked.query().getOrDefault("received_on", "");
        return context.store().programs().submissions(asked.parts().getOrDefault("submission", "")).stream()
                .filter(one -> sees(context, asked.its(), one))
                .filter(one ->
                        date.isEmpty() || one.key().receivedOn().toString().equals(date))
                .findFirst();
    }

    private static Endpoint.Reply notFound() {
        return Problems.NOT_FOUND.reply("This token sees no submission of this name and date. Nothing was done.");
    }

    private static boolean isNoDate(String text) {
        if (text.isEmpty()) {
            return false;
        }
        try {
            return !LocalDate.parse(text).toString().equals(text);
        } catch (DateTimeParseException wrong) {
            return true;
        }
    }

    private static Endpoint.Reply one(PageContext context, Endpoint.Asked asked) {
        if (isNoDate(asked.query().getOrDefault("received_on", ""))) {
            return Problems.BAD_REQUEST.reply("received_on is a date such as 2026-11-25. Nothing was done.");
        }
        Optional<KnownSubmission> known = known(context, asked);
        if (known.isPresent()) {
            Map<String, Object> out = summary(known.get());
            out.put(
                    "received_at",
                    DateTimeFormatter.ISO_OFFSET_DATE_TIME.format(
                            known.get().submission().receivedAt()));
            return json(200, out);
        }
        return waiting(context, asked)
                .map(sheet -> {
                    Map<String, Object> out = Json.object(
                            "submission", sheet.submission(),
                            "client", sheet.said().client(),
                            "state", "waiting",
                            "received_at", sheet.receivedAt().toString());
                    sheet.said().promisedOn().ifPresent(date -> out.put("promised_on", date.toString()));
                    sheet.said().packageName().ifPresent(name -> out.put("package", name));
                    return json(200, out);
                })
                .orElseGet(Submitted::notFound);
    }

    /** A submission that is not laid out yet: it will belong to the register in which the laboratory works now. */
    private static Optional<KeptSheet> waiting(PageContext context, Endpoint.Asked asked) {
        String name = asked.parts().getOrDefault("submission", "");
        boolean itsRegister = context.currentDay()
                .desk()
                .filter(desk ->
                        desk.day().laboratory().register().equals(asked.its().register()))
                .isPresent();
        return !itsRegister
                        || (asked.its().ownOnly() && !context.store().programs().isOwn(asked.its(), name))
                ? Optional.empty()
                : context.store().sheets().waiting().stream()
                        .filter(sheet -> sheet.submission().equals(name))
                        .findFirst();
    }

    private static Endpoint.Reply results(PageContext context, Endpoint.Asked asked) {
        String wanted = asked.query().getOrDefault("revision", "");
        if (isNoDate(asked.query().getOrDefault("received_on", "")) || !wanted.matches("([1-9]\\d{0,5})?")) {
            return Problems.BAD_REQUEST.reply(
                    "received_on is a date such as 2026-11-25, revision a whole number from 1. Nothing was done.");
        }
        Optional<String> form = form(asked.accept());
        if (form.isEmpty()) {
            return Problems.NOT_ACCEPTABLE.reply("Results come as " + String.join(", ", FORMS) + ".");
        }
        Optional<KnownSubmission> known = known(context, asked);
        if (known.isEmpty()) {
            return waiting(context, asked).isPresent()
                    ? Problems.NOT_FOUND.reply("Nothing of this submission was released yet: it waits to be laid out.")
                    : notFound();
        }
        List<Release> releases = context.store().programs().releases(known.get().key());
        Optional<Release> release = releases.stream()
                .filter(one ->
                        wanted.isEmpty() || Integer.toString(one.revision()).equals(wanted))
                .reduce((earlier, later) -> later);
        if (release.isEmpty()) {
            return Problems.NOT_FOUND.reply(
                    releases.isEmpty()
                            ? "Nothing of this submission was released yet."
                            : "This submission has no revision " + wanted + "; its newest is " + releases.size() + ".");
        }
        Optional<Desk> desk = context.currentDay().desk();
        if (desk.isEmpty()) {
            return Problems.BUSY
                    .reply("No day is open yet. Ask again in a moment.")
                    .with("Retry-After", "10");
        }
        ClientReport report;
        try {
            report = ClientReports.of(
                    desk.get().day().laboratory(),
                    known.get().submission(),
                    context.store().programs().soilsOf(known.get().key()),
                    release.get(),
                    releases.stream()
                            .filter(one -> one.revision() == release.get().revision() - 1)
                            .findFirst(),
                    context.methods());
        } catch (IllegalArgumentException unknown) {
            return Problems.NOT_DONE.reply("These results cannot be written: " + unknown.getMessage() + ".");
        }
        byte[] own = ResultDocuments.own(report);
        byte[] body = switch (FORMS.indexOf(form.get())) {
            case 1 -> ReportFiles.csv(report);
            case 2 -> ReportFiles.xlsx(report);
            case 3 -> ResultDocuments.open(report);
            default -> own;
        };
        // A workbook holds the time at which it was made, so the tag is that of what it says.
        String tag = new Sha256()
                .text(form.get())
                .text(new String(own, StandardCharsets.UTF_8))
                .hex();
        return new Endpoint.Reply(
                200,
                form.get().startsWith("text/") || form.get().equals("application/json")
                        ? form.get() + "; charset=utf-8"
                        : form.get(),
                body,
                Map.of("ETag", "\"" + tag + "\"", "Vary", "Accept"));
    }

    /** The first form of those asked for that there is; JSON where anything will do. */
    private static Optional<String> form(String accept) {
        if (accept.isBlank()) {
            return Optional.of(FORMS.get(0));
        }
        for (String one : accept.toLowerCase(Locale.ROOT).split(",", -1)) {
            String type = one.split(";", -1)[0].strip();
            if (type.equals("*/*") || type.equals("application/*")) {
                return Optional.of(FORMS.get(0));
            }
            if (FORMS.contains(type)) {
                return Optional.of(type);
            }
        }
        return Optional.empty();
    }

    private static Endpoint.Reply json(int status, Map<String, Object> object) {
        return new Endpoint.Reply(
                status, Endpoint.Reply.JSON, (Json.line(object) + "\n").getBytes(StandardCharsets.UTF_8), Map.of());
    }
}
