package org.tenmesh.web.days;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Consumer;
import org.tenmesh.core.causes.EarlierSoils;
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.OwnRecord;
import org.tenmesh.core.charts.ControlHistory;
import org.tenmesh.core.charts.LowReading;
import org.tenmesh.core.desk.Acted;
import org.tenmesh.core.desk.Action;
import org.tenmesh.core.desk.GateAct;
import org.tenmesh.core.desk.Holds;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.redo.Answer;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.SecondPerson;
import org.tenmesh.core.release.WorkBehind;
import org.tenmesh.store.days.ReadDay;
import org.tenmesh.store.journal.Anchor;
import org.tenmesh.store.journal.JournalCheck;
import org.tenmesh.store.journal.JournalQuestion;
import org.tenmesh.store.journal.JournalReading;
import org.tenmesh.store.labels.Printing;
import org.tenmesh.store.live.Following;
import org.tenmesh.store.orders.KeptOrder;
import org.tenmesh.store.people.FormerName;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.Redeemed;
import org.tenmesh.store.people.Session;
import org.tenmesh.store.release.KeptReport;
import org.tenmesh.store.release.SignedReport;

/** What pages ask of the store and tell it; {@link StoredLaboratory} passes it on, tests keep it in memory. */
public interface LaboratoryStore {
    /** Grows with every import: as long as it is the same, no day has changed. */
    long newestImport();

    /** Grows with all readings that arrive for a run under way. */
    default long newestReadings() {
        return 0;
    }

    /** Grows with everything that is written to the journal, by whichever server. */
    default long newestEntry() {
        return 0;
    }

    /** What is wrong with the server's clock, or was lately: one sentence each, without its point. */
    default List<String> clockTold() {
        return List.of();
    }

    /** Why nothing should be done now that rests on today's date and cannot be undone; looks at the clock first. */
    default Optional<String> clockDoubt() {
        return Optional.empty();
    }

    /** Tells of everything that is written to the journal from now on, by whichever server, until it is closed. */
    default Runnable follow(Consumer<List<Following.Entry>> follower) {
        return () -> {};
    }

    /**
     * The runs of a day of which more is to come, by a text that says which run and how much of it was read.
     *
     * @param before what this gave before
     */
    default Map<String, Run> underWay(String day, Map<String, Run> before) {
        return Map.of();
    }

    /** The newest days, the newest first. */
    List<Mark> days(int most);

    /** The days that follow this one on the list, the newest first; none when there is no such day. */
    List<Mark> daysBefore(String day, int most);

    /** A day by its name, or by the name that it had in version 0.1. */
    Optional<Mark> mark(String day);

    /** The key under which the judgement of this day is kept; empty when none is. */
    Optional<String> judgedKey(String day);

    /** What the judge said of this day, control values included; empty when none is kept under this key, or not the whole of it. */
    Optional<JudgedDay> kept(String day, String key);

    /** Drops what is kept of the judgement of this day, so that it is kept anew. */
    void forget(String day);

    /** A day and the digest of all that was imported into it, which changes whenever something is added. */
    record Mark(String day, String digest) {}

    /** Other days whose runs read soils of this day, or on whose lists soils stand that were read on this one. */
    List<String> sharing(String day);

    /** The newest days with submissions that are not released, or only in part, the newest first. */
    List<String> openDays(int most);

    /** The newest day with something of this name; empty when there never was. */
    Optional<String> newestDayWith(Kept kind, String name);

    /** What is kept under a name that may come again. */
    enum Kept {
        SOIL,
        TRAY,
        RUN,
        SUBMISSION,
        REPORT
    }

    /**
     * The day with its sealed key.
     *
     * @param before the same day as it was read before: only what is new is read
     */
    ReadDay day(String name, Optional<ReadDay> before);

    /** A digest of what is kept of other days: while it is the same, {@link #history} and {@link #earlierSoils} have not changed for that. */
    String keptOfOthers(String day);

    /**
     * What control soils gave on other days before a date.
     *
     * @param before the date on which the day began
     */
    ControlHistory history(String day, LocalDate before);

    /** What blanks and low check solutions of one method gave on all days whose judgement is kept, oldest first. */
    List<LowReading> lowReadings(String method);

    /** What earlier days found in clients' soils, and what became of their causes: {@link #ownRecord}. */
    EarlierSoils earlierSoils(String day);

    /** How often things went wrong before this day, as far as it was confirmed when the day was first judged. */
    OwnRecord ownRecord(String day);

    /**
     * Keeps what the judge said of a day.
     *
     * @param key digest of everything that it was judged by
     */
    void keep(String day, String key, JudgedDay judged);

    /** Keeps what new readings say of the causes of a day, where it became something else. */
    void keepAnswers(String day, List<Answer> answers, Instant at);

    /** What new readings said of the causes of all days, counted by kind. */
    Map<CauseKind, Answer.Count> answers();

    List<Acted> actions(String day);

    /** Gates that people shut and opened on other days, as far as that still matters, oldest first. */
    List<GateAct> gatesElsewhere(String day);

    void act(String day, Grounds grounds, Action action, String reason, String actor, Instant at);

    List<Release> releases(String day);

    /** Every run order that waits for its run, and the newest others, the newest first. */
    List<KeptOrder> runOrders(int most);

    Optional<KeptOrder> runOrder(String name);

    void keep(RunOrder order, String actor);

    void cancelRunOrder(String name, String reason, String actor, Instant at);

    /** Worksheets that wait to be laid out. */
    SheetStore sheets();

    /** Regulated soil: lists of areas, permits, the account of every portion. */
    CustodyStore custody();

    /** Lots, equipment, and what is held because of them or by hand. */
    EquipmentStore equipment();

    /** What holds results besides causes and gates, on whatever day. */
    default Holds holds() {
        return equipment().all();
    }

    /** Other programs: their tokens, what they register and follow. */
    ProgramBook programs();

    /**
     * Keeps that labels are printed. Where one was printed before and no reason is given it is a {@code Refused} with a message fit for a page.
     *
     * @param ofDay the day whose trays they are of; empty text for what has one name for ever
     */
    Printing printLabels(String kind, String ofDay, List<String> labels, String reason, String actor, Instant at);

    /** The newest labels of these kinds that were printed, the newest first. */
    List<Printing> printedLabels(Set<String> kinds, int most);

    /** Tells the journal that somebody printed the sealed layout of a day. */
    void layoutSheetPrinted(String day, String actor, Instant at);

    /** Several signed releases with their reports, all or none. */
    void release(String day, List<SignedReport> signed);

    /** Who did the work behind a submission, by the names of today. */
    List<WorkBehind> workBehind(String day, String submission);

    /** What each revision of a submission says of its approval, by revision. */
    Map<Integer, String> approvals(String day, String submission);

    /** Every decision on whether a second person signs, the newest first; none as shipped. */
    List<SecondPerson> secondPerson();

    /** Signs whether a second person is asked for from now on. */
    void signSecondPerson(boolean asked, String reason, String person);

    /** The report of a release as it is kept; empty where none is. */
    Optional<KeptReport> report(String day, String submission, int revision);

    /** The form of a submission's newest report. */
    Optional<ReportForm> lastReportForm(String day, String submission);

    /** Keeps the report of an older release, made now; one that is kept already stays. */
    KeptReport keepReportLater(String day, String submission, int revision, byte[] pdf, ReportForm form, String actor);

    /** Where soils wait after their release. */
    ShelfStore shelf();

    /** What is noted at the bench. */
    BenchBook bench();

    /** Badges of bench accounts. */
    BadgeBook badges();

    Optional<Person> find(String name);

    List<Person> people();

    void add(Person person, String actor);

    void change(Person person, String actor, Optional<String> linkIssuer);

    /** Gives somebody another name; what they did keeps the name of then. */
    void rename(String name, String newName, String actor);

    /** Names that people had, the newest first. */
    List<FormerName> formerNames();

    /** Asks that somebody who cannot sign in may do so; somebody else agrees. */
    void propose(String name, String actor);

    /** Who asked last that this person may sign in; empty when the person may, or nothing is asked. */
    Optional<String> proposedBy(String name);

    String startSession(String name, Duration lasts, Optional<String> linkIssuer);

    Optional<Session> session(String token, Duration idle, boolean used);

    void endSession(String token);

    String oneTimeToken(String name, Duration lasts, String issuer);

    Optional<Redeemed> redeem(String oneTimeToken);

    void signInFailed(String name, String source);

    int failedSignIns(String name, String source, Duration within);

    int failedSignInsFrom(String source, Duration within);

    void signInSucceeded(String name, String source);

    /** A part of the journal, newest first, at most so many entries of it. */
    JournalReading journal(JournalQuestion asked, int most);

    JournalCheck verifyJournal();

    /** The journal's newest entry, to be kept outside the database. */
    Anchor anchor();
}
