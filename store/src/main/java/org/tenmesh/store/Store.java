package org.tenmesh.store;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.sql.Connection;
import java.sql.SQLException;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Consumer;
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.OwnRecord;
import org.tenmesh.core.charts.LowReading;
import org.tenmesh.core.desk.Acted;
import org.tenmesh.core.desk.Action;
import org.tenmesh.core.desk.GateAct;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.redo.Answer;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.release.Release;
import org.tenmesh.store.custody.BecameBook;
import org.tenmesh.store.custody.ChargeBook;
import org.tenmesh.store.custody.LedgerBook;
import org.tenmesh.store.custody.Papers;
import org.tenmesh.store.days.DayEntry;
import org.tenmesh.store.days.DayLoading;
import org.tenmesh.store.days.DayTaking;
import org.tenmesh.store.days.Days;
import org.tenmesh.store.days.Receipt;
import org.tenmesh.store.equipment.EquipmentBook;
import org.tenmesh.store.equipment.HoldBook;
import org.tenmesh.store.journal.Anchor;
import org.tenmesh.store.journal.ClockWatch;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.journal.JournalCheck;
import org.tenmesh.store.journal.JournalEntry;
import org.tenmesh.store.journal.JournalQuestion;
import org.tenmesh.store.journal.JournalReading;
import org.tenmesh.store.judged.Causes;
import org.tenmesh.store.judged.FixedRecords;
import org.tenmesh.store.judged.Judgements;
import org.tenmesh.store.judged.KeptAnswers;
import org.tenmesh.store.judged.KeptJudgement;
import org.tenmesh.store.judged.Sealed;
import org.tenmesh.store.labels.Printings;
import org.tenmesh.store.live.ArrivalRecord;
import org.tenmesh.store.live.Arrivals;
import org.tenmesh.store.live.Following;
import org.tenmesh.store.openfiles.OpenFiles;
import org.tenmesh.store.orders.RunOrders;
import org.tenmesh.store.people.Badges;
import org.tenmesh.store.people.People;
import org.tenmesh.store.programs.Changes;
import org.tenmesh.store.programs.Registrations;
import org.tenmesh.store.programs.Tokens;
import org.tenmesh.store.record.Bench;
import org.tenmesh.store.record.BenchActs;
import org.tenmesh.store.record.LaboratoryRecord;
import org.tenmesh.store.release.Approvals;
import org.tenmesh.store.release.KeptReport;
import org.tenmesh.store.release.Releases;
import org.tenmesh.store.release.SignedReport;
import org.tenmesh.store.rows.Json;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.server.Connections;
import org.tenmesh.store.server.StoreSettings;
import org.tenmesh.store.sheets.DockActs;
import org.tenmesh.store.sheets.LaidOutSubmissions;
import org.tenmesh.store.sheets.Sheets;
import org.tenmesh.store.shelf.Shelves;
import org.tenmesh.store.verified.AgainstJournal;
import org.tenmesh.store.verified.RecordCheck;

/**
 * The laboratory's memory. May be used by several threads.
 *
 * <pre>{@code
 * try (Store store = Store.open(StoreSettings.embedded(folder), Clock.systemUTC(), new SecureRandom())) {
 *     Receipt receipt = store.take(day, sourceSha256, "M. Whelan");
 *     Day withControls = store.quality().dayWithControls(receipt.day()).orElseThrow();
 *     store.keepJudgement(receipt.day(), inputsDigest, DayJudge.judge(withControls, methods));
 * }
 * }</pre>
 *
 * Whatever cannot be stored as it stands is a {@link Refused} with a message fit for a page; a database that does not
 * answer is some other unchecked exception.
 */
public final class Store implements AutoCloseable {
    private final Connections connections;
    private final Clock clock;
    private final DayTaking taking;
    private final Arrivals arrivals;
    private final LaboratoryRecord record;
    private final Sealed sealed;
    private final Bench bench;
    private final Judgements judgements;
    private final Causes causes;
    private final KeptAnswers answered;
    private final RunOrders runOrders;
    private final Sheets sheets;
    private final LaidOutSubmissions laidOut;
    private final Shelves shelves;
    private final Printings printings;
    private final DockActs dockActs;
    private final FixedRecords fixed;
    private final Releases releases;
    private final Approvals approvals;
    private final People people;
    private final Badges badges;
    private final BenchActs benchActs;
    private final Tokens tokens;
    private final Registrations registrations;
    private final Papers papers;
    private final EquipmentBook equipment;
    private final HoldBook holds;
    private final LedgerBook ledger;
    private final ChargeBook charges;
    private final BecameBook became;
    private final Journal journal;
    private final ClockWatch clockWatch;

    private Store(Connections connections, Clock clock, SecureRandom random) {
        this.connections = connections;
        this.clock = clock;
        journal = new Journal(connections.app());
        clockWatch = new ClockWatch(connections.app(), journal, clock);
        taking = new DayTaking(connections.app(), journal, clock);
        sealed = new Sealed(connections.quality());
        bench = new Bench(connections.bench());
        judgements = new Judgements(connections.app(), connections.quality(), clock);
        causes = new Causes(connections.app(), journal);
        answered = new KeptAnswers(connections.app(), journal);
        runOrders = new RunOrders(connections.app(), journal);
        sheets = new Sheets(connections.app(), journal);
        laidOut = new LaidOutSubmissions(connections.app(), journal);
        shelves = new Shelves(connections.app(), journal);
        printings = new Printings(connections.app(), journal);
        dockActs = new DockActs(connections.app(), journal, taking);
        fixed = new FixedRecords(connections.app(), journal);
        releases = new Releases(connections.app(), journal);
        approvals = new Approvals(connections.app(), journal, clock);
        arrivals = new Arrivals(connections.app(), journal, taking, clock);
        record = new LaboratoryRecord(connections.app(), releases);
        people = new People(connections.app(), journal, clock, random);
        badges = new Badges(connections.app(), journal, clock, random);
        benchActs = new BenchActs(connections.app(), journal, dockActs, clock);
        tokens = new Tokens(connections.app(), journal, clock, random);
        registrations = new Registrations(connections.app(), journal, sheets);
        papers = new Papers(connections.app(), journal);
        equipment = new EquipmentBook(connections.app(), journal, clock);
        holds = new HoldBook(connections.app(), journal, clock);
        ledger = new LedgerBook(connections.app(), journal);
        charges = new ChargeBook(connections.app(), journal, ledger);
        became = new BecameBook(connections.app(), journal);
    }

    /** Opens the database, starting it where it is the program's own, and brings its schema up to date. */
    public static Store open(StoreSettings settings, Clock clock, SecureRandom random) {
        Store store = new Store(Connections.open(settings, random), clock, random);
        try {
            store.connections.app().useTransaction(store.journal::lookAtTheClock);
            return store;
        } catch (RuntimeException e) {
            store.close();
            throw e;
        }
    }

    // Days

    /**
     * Takes an import into the laboratory record: what is new of it, in one transaction with its journal entry; all or nothing.
     *
     * <p>Submissions, soils, trays, materials, standards, packages, controls and runs that are not there yet are added. What is there
     * already must be the same; what differs is refused, as is a source that was taken before. A lab number is known in its
     * {@link org.tenmesh.core.judgement.Laboratory#register() register} for ever: a run may read soils of earlier imports, and the
     * same lab number for another soil is refused.
     *
     * <p>Every run belongs to the laboratory date on which it started; one that started the day before its soils' date, or the day
     * after as the first of its method to read them, belongs to the date of its soils.
     * What the import lists belongs to the date that most of its lab numbers carry, else to the date on which most of its runs
     * started, else to today.
     *
     * @param sourceSha256 digest of what is imported, 64 lower-case hexadecimal digits
     * @param actor who imports it
     * @throws Refused with the first thing that does not fit
     */
    public Receipt take(Day day, String sourceSha256, String actor) {
        return taking.take(day, Optional.empty(), sourceSha256, actor);
    }

    /** {@link #take(Day, String, String)} of what is known to be listed for this laboratory date. */
    public Receipt take(Day day, LocalDate date, String sourceSha256, String actor) {
        return taking.take(day, Optional.of(date), sourceSha256, actor);
    }

    /** What arrives while runs are under way, reading by reading or file by file. */
    public Arrivals arrivals() {
        return arrivals;
    }

    /** What is kept of arrivals and their runs. */
    public ArrivalRecord arrivalRecord() {
        return new ArrivalRecord(connections.app());
    }

    /**
     * Tells of every entry that is written to the journal from now on, by whichever server on this database, until it is closed.
     *
     * @param follower called on a thread of its own with new entries in the order of the journal
     */
    public Following follow(Consumer<List<Following.Entry>> follower) {
        return new Following(connections.app(), connections::listening, follower);
    }

    /** Number of the newest entry of the journal, 0 before the first. */
    public long newestEntry() {
        return Following.newest(connections.app());
    }

    /** The receipt of the source with this digest, when it was taken before. */
    public Optional<Receipt> receipt(String sourceSha256) {
        return connections.app().withHandle(handle -> Days.receipt(handle, sourceSha256));
    }

    /** Every laboratory day with something on its list, the newest first. What goes on all the time asks for the {@link #days(int) newest}. */
    public List<DayEntry> days() {
        return days(Integer.MAX_VALUE);
    }

    /** The newest laboratory days, the newest first. */
    public List<DayEntry> days(int most) {
        return connections.app().withHandle(handle -> Days.newest(handle, most));
    }

    /** The laboratory days that follow this one on the list, the newest first; none when there is no such day. */
    public List<DayEntry> daysBefore(String name, int most) {
        return connections.app().withHandle(handle -> Days.before(handle, name, most));
    }

    /** The list's line for one day, by its name or by the name it had in version 0.1. */
    public Optional<DayEntry> dayEntry(String name) {
        return connections.app().withHandle(handle -> Days.entry(handle, name));
    }

    /** Number of the journal entry of the newest import, 0 before the first: as long as it is the same, no day has changed. */
    public long newestImport() {
        return connections.app().withHandle(Days::newestImport);
    }

    /** Number of the journal entry of the newest readings that arrived for a run under way, 0 before the first. */
    public long newestReadings() {
        return connections.app().withHandle(Days::newestReadings);
    }

    /** Everything that is kept, found by its own address, whatever the day. */
    public LaboratoryRecord record() {
        return record;
    }

    /**
     * A view of the record: the runs that started on this day with the soils they read, what was listed for it, and the materials,
     * standards, packages and settings that held then. Where a name is used again (S0001 each morning), the older one carries its date:
     * {@code S0001 (2026-11-24)}. Without the sealed part: {@code controls()} is empty, and hidden controls look like any soil.
     */
    public Optional<Day> day(String name) {
        return DayLoading.load(connections.app(), name, false);
    }

    /**
     * The runs of a day of which more is to come, with what was read of them so far.
     *
     * @param before what this gave before: only what is new is read
     * @return by a text that says which run it is and how much of it was read
     */
    public Map<String, Run> underWay(String day, Map<String, Run> before) {
        return DayLoading.underWay(connections.app(), day, before);
    }

    /** What the quality database user may read beyond everybody else: the key of the hidden controls. */
    public Sealed quality() {
        return sealed;
    }

    /** What the bench database user may read: trays, lab numbers, runs; no client, no verdict, no key. */
    public Bench bench() {
        return bench;
    }

    /** What people note at the bench. */
    public BenchActs benchActs() {
        return benchActs;
    }

    /** Lots and equipment with what was noted about them. */
    public EquipmentBook equipment() {
        return equipment;
    }

    /** What people hold after looking back. */
    public HoldBook holds() {
        return holds;
    }

    // Judgement

    /** Keeps what the judge said of this day, unless that has its key already. Not in the journal: it can be computed again at any time. */
    public void keepJudgement(String day, String inputsDigest, JudgedDay judged) {
        judgements.keep(day, inputsDigest, judged);
    }

    /** What was kept last for this day, without control values; see {@link Sealed#judgement}. */
    public Optional<KeptJudgement> judgement(String day) {
        return judgements.judgement(day);
    }

    /** What blanks and low check solutions of one method gave on all days whose judgement is kept, oldest first. */
    public List<LowReading> lowReadings(String method) {
        return judgements.lowReadings(method);
    }

    /** Drops what is kept of the judgement of this day: what is kept next is kept whatever its key. */
    public void forgetJudgement(String day) {
        judgements.forget(day);
    }

    /** The digest of the judgement that is kept, without reading it. */
    public Optional<String> judgementDigest(String day) {
        return judgements.digest(day);
    }

    // Causes

    /**
     * Records what a person does about a cause.
     *
     * @param grounds the cause as the person saw it
     * @param reason needed for {@link Action#needsReason() some}
     * @throws Refused when the day is unknown or a needed reason is missing
     */
    public Acted act(String day, Grounds grounds, Action action, String reason, String actor, Instant at) {
        return causes.act(day, grounds, action, reason, actor, at);
    }

    /** Everything done about the causes of this day, oldest first. */
    public List<Acted> actions(String day) {
        return causes.actions(day);
    }

    /** What the dock says of submissions after they were laid out. */
    public LaidOutSubmissions laidOut() {
        return laidOut;
    }

    /** Clients' worksheets that wait to be laid out. */
    public Sheets sheets() {
        return sheets;
    }

    /** Where soils wait after their release. */
    public Shelves shelves() {
        return shelves;
    }

    /** What was done at the dock. */
    public DockActs dockActs() {
        return dockActs;
    }

    /** What instruments are to read. */
    public RunOrders runOrders() {
        return runOrders;
    }

    /** What was printed of labels. */
    public Printings printings() {
        return printings;
    }

    /** Keeps what new readings say of the causes of this day, where it became something else; see {@code redo.Answers}. */
    public void keepAnswers(String day, List<Answer> answers, Instant at) {
        answered.keep(day, answers, at);
    }

    /** What new readings said last of the causes of this day. */
    public List<Answer> answers(String day) {
        return answered.of(day);
    }

    /** The same of all days, counted by kind of cause. */
    public Map<CauseKind, Answer.Count> answers() {
        return answered.byKind();
    }

    /**
     * How often things went wrong on the 100 days before this one, as far as it was confirmed. It is fixed when it is first asked for, before
     * the day's judgement is kept, and stays what it was; a day judged before such records were kept has none.
     */
    public OwnRecord ownRecord(String day) {
        return fixed.of(day, clock.instant());
    }

    /**
     * Gates of the day's register that people shut and opened on other days, oldest first: of each instrument what was done since its
     * gate was shut last.
     */
    public List<GateAct> gatesElsewhere(String day) {
        return causes.gatesElsewhere(day);
    }

    // Release

    /**
     * Stores a signed release of a submission, which belongs to the submission whatever the day.
     *
     * @param day the day on whose page it was signed
     * @param release with the name that the submission has in the view of that day
     * @throws Refused when the day has no such submission, or the revision is not the next one
     */
    public void release(String day, Release release) {
        releases.release(day, release);
    }

    /**
     * Stores several signed releases with their reports, all or none.
     *
     * @param day the day on whose page they were signed
     * @throws Refused naming the first submission that cannot be released; then none is
     */
    public void release(String day, List<SignedReport> signed) {
        releases.release(day, signed);
    }

    /** Who did the work behind a submission, and whether somebody else has to sign. */
    public Approvals approvals() {
        return approvals;
    }

    /** The report of a release as it is kept; empty where none is, as of releases from before reports were kept. */
    public Optional<KeptReport> report(String day, String submission, int revision) {
        return releases.report(day, submission, revision);
    }

    /** The form of a submission's newest report; empty where none is kept. */
    public Optional<ReportForm> lastReportForm(String day, String submission) {
        return releases.lastForm(day, submission);
    }

    /** Keeps the report of an older release, made now; where one is kept already, that one stays and is given back. */
    public KeptReport keepReportLater(
            String day, String submission, int revision, byte[] pdf, ReportForm form, String actor) {
        return releases.keepLater(day, submission, revision, pdf, form, actor, clock.instant());
    }

    /** Every release of the submissions in the view of the day, by submission and revision, whenever it was signed. */
    public List<Release> releases(String day) {
        return releases.releases(day);
    }

    public Optional<Release> release(String day, String submission, int revision) {
        return releases.release(day, submission, revision);
    }

    /** Lists of areas from which soil is regulated, and permits under which it is kept. */
    public Papers papers() {
        return papers;
    }

    /** The account of every portion of regulated soil. */
    public LedgerBook ledger() {
        return ledger;
    }

    /** Soil that is found to be regulated after it was laid out. */
    public BecameBook became() {
        return became;
    }

    /** Charges that destroy regulated soil. */
    public ChargeBook charges() {
        return charges;
    }

    /** Who may sign in, and their sessions. */
    public People people() {
        return people;
    }

    /** Badges of bench accounts. */
    public Badges badges() {
        return badges;
    }

    /** Tokens of other programs. */
    public Tokens tokens() {
        return tokens;
    }

    /** What other programs register. */
    public Registrations registrations() {
        return registrations;
    }

    /** What other programs follow. */
    public Changes changes() {
        return new Changes(connections.app());
    }

    /**
     * Writes an entry of its own to the journal, for what happens outside the store (a report printed, a day exported).
     *
     * @param detail names and values; values are text
     */
    public JournalEntry note(String actor, String what, String subject, Map<String, String> detail) {
        return journal.note(clock.instant(), actor, what, subject, Json.object(detail));
    }

    /** What compares the server's clock with others, once it was begun. */
    public ClockWatch clockWatch() {
        return clockWatch;
    }

    /** The newest entries of the journal, newest first. */
    public List<JournalEntry> journal(int most) {
        return journal.newest(most);
    }

    /** A part of the journal, newest first, at most so many entries of it. */
    public JournalReading readJournal(JournalQuestion asked, int most) {
        return journal.read(asked, most);
    }

    /** The journal's newest entry, to be kept outside the database. */
    public Anchor anchor() {
        return journal.anchor();
    }

    /** A sentence for each anchor, kept outside the database before, that the journal does not hold: it was cut off or written anew. */
    public List<String> against(List<Anchor> anchors) {
        return journal.against(anchors);
    }

    /** Computes the whole chain again. Never throws for a broken one. */
    public JournalCheck verifyJournal() {
        return journal.verify();
    }

    /**
     * Whether the journal has an entry with this hash: a head that was printed earlier and kept elsewhere must be in it. A
     * journal of which the last entries were deleted is whole again when its head was set back; this finds it.
     *
     * @param head 64 lower-case hexadecimal digits; 64 zeros are the head of an empty journal
     */
    public boolean journalHolds(String head) {
        return journal.holds(head);
    }

    /**
     * Compares everything that is stored with what the journal says of it: days with their runs, releases, actions on
     * causes, people. Reads one day at a time. Never throws for what it finds.
     *
     * @param says is told what is being compared
     */
    public RecordCheck compareWithJournal(Consumer<String> says) {
        return new AgainstJournal(connections.app(), says).check();
    }

    /** Writes everything that is stored as open files into a new or empty folder; see {@link OpenFiles}. */
    public OpenFiles.Written writeOpenFiles(Path out, boolean sealed, String actor, Consumer<String> says) {
        try (Connection owner = connections.owner()) {
            return OpenFiles.write(owner, out, sealed, actor, clock.instant(), says);
        } catch (IOException e) {
            throw new UncheckedIOException("the record could not be written into " + out, e);
        } catch (SQLException e) {
            throw new IllegalStateException("the record could not be read: " + e.getMessage(), e);
        }
    }

    /** Closes the connections, and stops the database where it is the program's own. */
    @Override
    public void close() {
        clockWatch.close();
        connections.close();
    }

    /** For tests that look behind the door. */
    Connections connections() {
        return connections;
    }
}
