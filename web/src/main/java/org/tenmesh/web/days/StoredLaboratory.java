package org.tenmesh.web.days;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Consumer;
import java.util.function.Function;
import org.tenmesh.core.causes.EarlierSoils;
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.OwnRecord;
import org.tenmesh.core.charts.ControlHistory;
import org.tenmesh.core.charts.LowReading;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.desk.Acted;
import org.tenmesh.core.desk.Action;
import org.tenmesh.core.desk.GateAct;
import org.tenmesh.core.dock.DockAct;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.redo.Answer;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.SecondPerson;
import org.tenmesh.core.release.WorkBehind;
import org.tenmesh.store.Store;
import org.tenmesh.store.custody.LedgerBook;
import org.tenmesh.store.days.DayEntry;
import org.tenmesh.store.days.ReadDay;
import org.tenmesh.store.journal.Anchor;
import org.tenmesh.store.journal.JournalCheck;
import org.tenmesh.store.journal.JournalQuestion;
import org.tenmesh.store.journal.JournalReading;
import org.tenmesh.store.judged.KeptJudgement;
import org.tenmesh.store.labels.Printing;
import org.tenmesh.store.live.Following;
import org.tenmesh.store.orders.KeptOrder;
import org.tenmesh.store.people.FormerName;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.Redeemed;
import org.tenmesh.store.people.Session;
import org.tenmesh.store.release.KeptReport;
import org.tenmesh.store.release.SignedReport;
import org.tenmesh.store.sheets.KeptSheet;
import org.tenmesh.store.sheets.SaidAnew;

/** The store behind the pages. */
public record StoredLaboratory(Store store) implements LaboratoryStore {
    /** How far back charts look: their base lies in it, and what is older says little of today. */
    private static final Duration HISTORY = Duration.ofDays(400);

    @Override
    public long newestImport() {
        return store.newestImport();
    }

    @Override
    public long newestReadings() {
        return store.newestReadings();
    }

    @Override
    public long newestEntry() {
        return store.newestEntry();
    }

    @Override
    public List<String> clockTold() {
        return store.clockWatch().told();
    }

    @Override
    public Optional<String> clockDoubt() {
        store.clockWatch().look();
        return store.clockWatch().doubt();
    }

    @Override
    public Runnable follow(Consumer<List<Following.Entry>> follower) {
        return store.follow(follower)::close;
    }

    @Override
    public Map<String, Run> underWay(String day, Map<String, Run> before) {
        return store.underWay(day, before);
    }

    @Override
    public List<Mark> days(int most) {
        return store.days(most).stream().map(StoredLaboratory::mark).toList();
    }

    @Override
    public List<Mark> daysBefore(String day, int most) {
        return store.daysBefore(day, most).stream().map(StoredLaboratory::mark).toList();
    }

    @Override
    public Optional<Mark> mark(String day) {
        return store.dayEntry(day).map(StoredLaboratory::mark);
    }

    private static Mark mark(DayEntry day) {
        return new Mark(day.name(), day.digest());
    }

    @Override
    public Optional<String> judgedKey(String day) {
        return store.judgementDigest(day);
    }

    @Override
    public Optional<JudgedDay> kept(String day, String key) {
        return store.quality()
                .judgement(day)
                .filter(one -> one.inputsDigest().equals(key))
                .map(KeptJudgement::judged);
    }

    @Override
    public void forget(String day) {
        store.forgetJudgement(day);
    }

    @Override
    public List<String> sharing(String day) {
        return store.record().daysSharing(day);
    }

    @Override
    public List<String> openDays(int most) {
        return store.record().openDays(most);
    }

    @Override
    public Optional<String> newestDayWith(Kept kind, String name) {
        return switch (kind) {
            case SOIL -> store.record().newestDayOfSoil(name);
            case TRAY -> store.record().newestDayOfTray(name);
            case RUN -> store.record().newestDayOfRun(name);
            case SUBMISSION -> store.record().newestDayOfSubmission(name);
            case REPORT -> store.record().newestDayOfReport(name);
        };
    }

    @Override
    public ReadDay day(String name, Optional<ReadDay> before) {
        return store.quality()
                .dayWithControls(name, before)
                .orElseThrow(() -> new IllegalStateException("day " + name + " is listed but cannot be read"));
    }

    @Override
    public String keptOfOthers(String day) {
        return store.quality().keptOfOthers(day);
    }

    @Override
    public ControlHistory history(String day, LocalDate before) {
        return store.quality()
                .controlHistory(
                        day, before.atStartOfDay(ZoneOffset.UTC).toInstant().minus(HISTORY))
                .before(before);
    }

    @Override
    public List<LowReading> lowReadings(String method) {
        return store.lowReadings(method);
    }

    @Override
    public EarlierSoils earlierSoils(String day) {
        return new EarlierSoils(store.quality().earlierSoils(day).soils(), store.ownRecord(day));
    }

    @Override
    public OwnRecord ownRecord(String day) {
        return store.ownRecord(day);
    }

    @Override
    public void keepAnswers(String day, List<Answer> answers, Instant at) {
        store.keepAnswers(day, answers, at);
    }

    @Override
    public Map<CauseKind, Answer.Count> answers() {
        return store.answers();
    }

    @Override
    public void keep(String day, String key, JudgedDay judged) {
        store.keepJudgement(day, key, judged);
    }

    @Override
    public List<Acted> actions(String day) {
        return store.actions(day);
    }

    @Override
    public List<GateAct> gatesElsewhere(String day) {
        return store.gatesElsewhere(day);
    }

    @Override
    public void act(String day, Grounds grounds, Action action, String reason, String actor, Instant at) {
        store.act(day, grounds, action, reason, actor, at);
    }

    @Override
    public List<Release> releases(String day) {
        return store.releases(day);
    }

    @Override
    public void release(String day, List<SignedReport> signed) {
        store.release(day, signed);
    }

    @Override
    public List<WorkBehind> workBehind(String day, String submission) {
        return store.approvals().workBehind(day, submission);
    }

    @Override
    public Map<Integer, String> approvals(String day, String submission) {
        return store.approvals().of(day, submission);
    }

    @Override
    public List<SecondPerson> secondPerson() {
        return store.approvals().rules();
    }

    @Override
    public void signSecondPerson(boolean asked, String reason, String person) {
        store.approvals().sign(asked, reason, person);
    }

    @Override
    public Optional<KeptReport> report(String day, String submission, int revision) {
        return store.report(day, submission, revision);
    }

    @Override
    public Optional<ReportForm> lastReportForm(String day, String submission) {
        return store.lastReportForm(day, submission);
    }

    @Override
    public KeptReport keepReportLater(
            String day, String submission, int revision, byte[] pdf, ReportForm form, String actor) {
        return store.keepReportLater(day, submission, revision, pdf, form, actor);
    }

    @Override
    public BenchBook bench() {
        return new StoredBench(store);
    }

    @Override
    public BadgeBook badges() {
        return new StoredBench(store);
    }

    @Override
    public Optional<Person> find(String name) {
        return store.people().find(name);
    }

    @Override
    public List<Person> people() {
        return store.people().all();
    }

    @Override
    public void add(Person person, String actor) {
        store.people().add(person, actor);
    }

    @Override
    public void change(Person person, String actor, Optional<String> linkIssuer) {
        store.people().change(person, actor, linkIssuer);
    }

    @Override
    public void rename(String name, String newName, String actor) {
        store.people().rename(name, newName, actor);
    }

    @Override
    public List<FormerName> formerNames() {
        return store.people().formerNames();
    }

    @Override
    public void propose(String name, String actor) {
        store.people().propose(name, actor);
    }

    @Override
    public Optional<String> proposedBy(String name) {
        return store.people().proposedBy(name);
    }

    @Override
    public String startSession(String name, Duration lasts, Optional<String> linkIssuer) {
        return store.people().startSession(name, lasts, linkIssuer);
    }

    @Override
    public Optional<Session> session(String token, Duration idle, boolean used) {
        return store.people().session(token, idle, used);
    }

    @Override
    public void endSession(String token) {
        store.people().endSession(token);
    }

    @Override
    public String oneTimeToken(String name, Duration lasts, String issuer) {
        return store.people().oneTimeToken(name, lasts, issuer);
    }

    @Override
    public Optional<Redeemed> redeem(String oneTimeToken) {
        return store.people().redeem(oneTimeToken);
    }

    @Override
    public void signInFailed(String name, String source) {
        store.people().signInFailed(name, source);
    }

    @Override
    public int failedSignIns(String name, String source, Duration within) {
        return store.people().failedSignIns(name, source, within);
    }

    @Override
    public int failedSignInsFrom(String source, Duration within) {
        return store.people().failedSignInsFrom(source, within);
    }

    @Override
    public void signInSucceeded(String name, String source) {
        store.people().signInSucceeded(name, source);
    }

    @Override
    public JournalReading journal(JournalQuestion asked, int most) {
        return store.readJournal(asked, most);
    }

    @Override
    public Anchor anchor() {
        return store.anchor();
    }

    @Override
    public JournalCheck verifyJournal() {
        return store.verifyJournal();
    }

    @Override
    public List<KeptOrder> runOrders(int most) {
        return store.runOrders().newest(most);
    }

    @Override
    public Optional<KeptOrder> runOrder(String name) {
        return store.runOrders().find(name);
    }

    @Override
    public void keep(RunOrder order, String actor) {
        store.runOrders().keep(order, actor);
    }

    @Override
    public void cancelRunOrder(String name, String reason, String actor, Instant at) {
        store.runOrders().cancel(name, reason, actor, at);
    }

    @Override
    public EquipmentStore equipment() {
        return new StoredEquipment(store);
    }

    @Override
    public Printing printLabels(
            String kind, String ofDay, List<String> labels, String reason, String actor, Instant at) {
        return store.printings().print(kind, ofDay, labels, reason, actor, at);
    }

    @Override
    public List<Printing> printedLabels(Set<String> kinds, int most) {
        return store.printings().newest(kinds, most);
    }

    @Override
    public void layoutSheetPrinted(String day, String actor, Instant at) {
        store.printings().layoutSheet(day, actor, at);
    }

    @Override
    public CustodyStore custody() {
        return new StoredCustody(store);
    }

    @Override
    public ProgramBook programs() {
        return new StoredPrograms(store);
    }

    @Override
    public ShelfStore shelf() {
        return new StoredShelf(store);
    }

    @Override
    public SheetStore sheets() {
        return new SheetStore() {
            @Override
            public String keep(
                    String fileName, byte[] bytes, KeptSheet.Said said, String actor, Instant at, LocalDate today) {
                return store.sheets().keep(fileName, bytes, said, actor, at, today);
            }

            @Override
            public void change(
                    String submission, int seen, KeptSheet.Said said, String reason, String actor, Instant at) {
                store.sheets().change(submission, seen, said, reason, actor, at);
            }

            @Override
            public void leave(String submission, String reason, String actor, Instant at) {
                store.sheets().leave(submission, reason, actor, at);
            }

            @Override
            public void laidOut(List<String> submissions, String actor, Instant at) {
                store.sheets().laidOut(submissions, actor, at);
            }

            @Override
            public List<SaidAnew> versions(String day, String submission) {
                return store.laidOut().versions(day, submission);
            }

            @Override
            public List<SaidAnew> versionsOfSheet(String submission) {
                return store.sheets().versions(submission);
            }

            @Override
            public void changeLaidOut(
                    String day,
                    String submission,
                    int seen,
                    KeptSheet.Said said,
                    String reason,
                    String actor,
                    Instant at) {
                store.laidOut().change(day, submission, seen, said, reason, actor, at);
            }

            @Override
            public List<KeptSheet> waiting() {
                return store.sheets().waiting();
            }

            @Override
            public void layOut(
                    Day day,
                    LocalDate date,
                    String sha256,
                    List<String> submissions,
                    Function<Map<String, List<DockAct>>, Optional<String>> refusal,
                    String actor,
                    Instant at) {
                store.dockActs().layOut(day, date, sha256, submissions, refusal, actor, at);
            }

            @Override
            public void act(DockAct act, Function<List<DockAct>, Optional<String>> refusal) {
                store.dockActs().keep(act, refusal);
            }

            @Override
            public void book(
                    DockAct act,
                    Function<List<DockAct>, Optional<String>> refusal,
                    LedgerBook.Received received,
                    LocalDate today) {
                store.dockActs().book(act, refusal, received, today);
            }

            @Override
            public void takeBack(
                    DockAct act,
                    Function<List<DockAct>, Optional<String>> refusal,
                    Function<List<Move>, List<Move>> lines) {
                store.dockActs().takeBack(act, refusal, lines);
            }

            @Override
            public Map<String, List<DockAct>> acts() {
                return store.dockActs().waiting();
            }
        };
    }
}
