package org.tenmesh.web.intake;

import java.security.SecureRandom;
import java.time.Instant;
import java.time.LocalDate;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.digest.Sha256;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.sheets.KeptSheet;
import org.tenmesh.web.days.LaboratoryStore;
import org.tenmesh.web.days.SheetReader;
import org.tenmesh.web.http.Answer;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.Words;

/** Worksheets at the dock: checked, taken or left, said anew with a reason, laid out by whoever may. */
public final class IntakePages {
    private static final Set<PersonRole> DOCK =
            Set.of(PersonRole.CLIENT_SERVICE, PersonRole.IN_CHARGE, PersonRole.QUALITY);
    private static final Set<PersonRole> LAYS_OUT = Set.of(PersonRole.QUALITY);
    private static final int MOST_PROBLEMS = 200;
    private static final SecureRandom RANDOM = new SecureRandom();

    private final PageContext context;
    private final Dock dock;

    private IntakePages(PageContext context) {
        this.context = context;
        this.dock = new Dock(context);
    }

    public static List<Route> routes(PageContext context) {
        IntakePages pages = new IntakePages(context);
        return List.of(
                Route.get(
                        "/intake",
                        DOCK,
                        visit -> PageContext.withDay(visit, desk -> pages.list(visit, desk, "", List.of(), 200))),
                Route.get(
                        "/intake/{submission}",
                        DOCK,
                        visit -> PageContext.withDay(visit, desk -> pages.one(visit, desk))),
                Route.file("/intake/take", DOCK, visit -> PageContext.withDay(visit, desk -> pages.take(visit, desk))),
                Route.post("/intake/change", DOCK, visit -> PageContext.withDay(visit, desk -> pages.change(visit))),
                Route.post("/intake/leave", DOCK, visit -> pages.leave(visit)),
                Route.post(
                        "/intake/layout",
                        LAYS_OUT,
                        visit -> PageContext.withDay(visit, desk -> pages.layOut(visit, desk))));
    }

    private Answer list(Visit visit, Desk desk, String said, List<SheetReader.Problem> problems, int status) {
        List<Waiting> waiting = dock.all(desk).stream()
                .map(one -> Waiting.of(one, List.of(), desk.zone()))
                .toList();
        return new Answer.Shown(
                status,
                "intake",
                "Worksheets",
                Map.of(
                        "waiting",
                        waiting,
                        "packages",
                        desk.day().packages().stream().map(one -> one.name()).toList(),
                        "said",
                        said,
                        "problems",
                        problems.subList(0, Math.min(MOST_PROBLEMS, problems.size())),
                        "more",
                        Math.max(0, problems.size() - MOST_PROBLEMS),
                        "layOut",
                        visit.may(LAYS_OUT) && waiting.stream().anyMatch(Waiting::bookedIn)));
    }

    private Answer one(Visit visit, Desk desk) {
        return dock.one(desk, visit.part("submission"))
                .map(one -> Answer.shown(
                        "intake-sheet",
                        "Worksheet " + one.kept().submission(),
                        Map.of(
                                "sheet",
                                        Waiting.of(
                                                one,
                                                context.store()
                                                        .sheets()
                                                        .versionsOfSheet(
                                                                one.kept().submission()),
                                                desk.zone()),
                                "packages",
                                        desk.day().packages().stream()
                                                .map(its -> its.name())
                                                .toList())))
                .orElseGet(Answer::notFound);
    }

    private Answer take(Visit visit, Desk desk) {
        Optional<Visit.Upload> file = Optional.ofNullable(visit.files().get("sheet"));
        if (file.isEmpty() || file.get().bytes().length == 0) {
            return list(visit, desk, "Choose a worksheet first: CSV or XLSX.", List.of(), 400);
        }
        SheetReader.Sheet read = context.sheets()
                .orElseThrow()
                .read(file.get().name(), file.get().bytes());
        if (!read.problems().isEmpty()) {
            return list(
                    visit,
                    desk,
                    Words.of(read.problems().size(), "problem") + " in "
                            + file.get().name()
                            + ". Nothing of it was taken. Put the sheet right and drop it again, or ask the client.",
                    read.problems(),
                    400);
        }
        String client = visit.form("client").isEmpty() ? read.client().orElse("") : visit.form("client");
        if (client.isEmpty()) {
            return list(
                    visit,
                    desk,
                    "The sheet does not say who sent it. Type the client's name and drop it again.",
                    List.of(),
                    400);
        }
        Optional<KeptSheet.Said> said = said(visit, client);
        if (said.isEmpty()) {
            return list(visit, desk, "The promised date is written like 2026-11-28.", List.of(), 400);
        }
        Instant now = context.clock().instant();
        String submission = context.store()
                .sheets()
                .keep(
                        file.get().name(),
                        file.get().bytes(),
                        said.get(),
                        visit.actor(),
                        now,
                        now.atZone(desk.zone()).toLocalDate());
        return Answer.moved("/intake/" + Words.part(submission));
    }

    private static Optional<KeptSheet.Said> said(Visit visit, String client) {
        try {
            String promised = visit.form("promised");
            return Optional.of(new KeptSheet.Said(
                    client,
                    promised.isEmpty() ? Optional.empty() : Optional.of(LocalDate.parse(promised)),
                    Optional.of(visit.form("package")).filter(text -> !text.isEmpty()),
                    Optional.of(visit.form("note")).filter(text -> !text.isEmpty())));
        } catch (DateTimeParseException wrong) {
            return Optional.empty();
        }
    }

    private Answer change(Visit visit) {
        Optional<KeptSheet.Said> said = said(visit, visit.form("client"));
        if (said.isEmpty() || !visit.form("version").matches("\\d{1,6}")) {
            return Answer.refused(
                    400, "Not done", "The promised date is written like 2026-11-28. Nothing was changed.");
        }
        context.store()
                .sheets()
                .change(
                        visit.form("submission"),
                        Integer.parseInt(visit.form("version")),
                        said.get(),
                        visit.form("reason"),
                        visit.actor(),
                        context.clock().instant());
        return Answer.moved("/intake/" + Words.part(visit.form("submission")));
    }

    private Answer leave(Visit visit) {
        context.store()
                .sheets()
                .leave(
                        visit.form("submission"),
                        visit.form("reason"),
                        visit.actor(),
                        context.clock().instant());
        return Answer.moved("/intake");
    }

    /**
     * Lays out everything that is booked in. Whether it still is, and as regulated or not as it is laid out, is asked once more where the layout is
     * kept. What was laid out from a file under the same name is not laid out twice.
     */
    private synchronized Answer layOut(Visit visit, Desk desk) {
        Instant now = context.clock().instant();
        LocalDate date = now.atZone(desk.zone()).toLocalDate();
        List<AtDock> sheets = new ArrayList<>();
        List<String> before = new ArrayList<>();
        for (AtDock one : dock.all(desk)) {
            String name = one.kept().submission();
            boolean known = context.store()
                    .newestDayWith(LaboratoryStore.Kept.SUBMISSION, name)
                    .isPresent();
            if (known) {
                before.add(name);
            } else if (one.booking().mayBeLaidOut()) {
                sheets.add(one);
            }
        }
        if (sheets.isEmpty() && before.isEmpty()) {
            return list(
                    visit,
                    desk,
                    "Nothing is booked in that waits to be laid out. Book boxes in at the dock first.",
                    List.of(),
                    409);
        }
        if (!sheets.isEmpty()) {
            Optional<Day> laidOut =
                    LaidOut.of(sheets, desk, context.currentDay().desk(date.toString()), date, RANDOM.nextLong());
            if (laidOut.isEmpty()) {
                return list(
                        visit,
                        desk,
                        "No control soil is known, and a layout without hidden controls is none. Take a day with materials first.",
                        List.of(),
                        409);
            }
            Sha256 source = new Sha256().text("layout");
            LaidOut.digests(sheets).forEach((name, digest) -> source.text(name).text(digest));
            try {
                context.store()
                        .sheets()
                        .layOut(
                                laidOut.get(),
                                date,
                                source.hex(),
                                sheets.stream()
                                        .map(one -> one.kept().submission())
                                        .toList(),
                                dock.fits(desk, sheets, laidOut.get()),
                                visit.actor(),
                                now);
            } catch (Refused refused) {
                return list(visit, desk, String.valueOf(refused.getMessage()), List.of(), 409);
            }
        }
        if (!before.isEmpty()) {
            context.store().sheets().laidOut(before, visit.actor(), now);
        }
        return Answer.moved("/labels");
    }
}
