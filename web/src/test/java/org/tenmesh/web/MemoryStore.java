package org.tenmesh.web;

import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.Function;
import java.util.stream.Collectors;
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
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.orders.RunOrder;
import org.tenmesh.core.redo.Answer;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.SecondPerson;
import org.tenmesh.core.release.WorkBehind;
import org.tenmesh.store.custody.LedgerBook;
import org.tenmesh.store.days.ReadDay;
import org.tenmesh.store.days.RunDigest;
import org.tenmesh.store.journal.Anchor;
import org.tenmesh.store.journal.JournalCheck;
import org.tenmesh.store.journal.JournalEntry;
import org.tenmesh.store.journal.JournalLine;
import org.tenmesh.store.journal.JournalQuestion;
import org.tenmesh.store.journal.JournalReading;
import org.tenmesh.store.labels.Printing;
import org.tenmesh.store.orders.KeptOrder;
import org.tenmesh.store.people.FormerName;
import org.tenmesh.store.people.Person;
import org.tenmesh.store.people.Redeemed;
import org.tenmesh.store.people.Session;
import org.tenmesh.store.release.KeptReport;
import org.tenmesh.store.release.SignedReport;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.sheets.KeptSheet;
import org.tenmesh.store.sheets.SaidAnew;
import org.tenmesh.web.days.EquipmentStore;
import org.tenmesh.web.days.LaboratoryStore;
import org.tenmesh.web.days.SheetStore;

/** The book kept in memory, for page tests. May be used by several threads. */
final class MemoryStore implements LaboratoryStore {
    private final Map<String, Answer> answered = new TreeMap<>();
    private final Map<String, Person> people = new TreeMap<>();
    private final List<FormerName> former = new ArrayList<>();
    private final Map<String, String> proposed = new HashMap<>();
    private final Map<String, Started> sessions = new HashMap<>();
    private final Map<String, Started> once = new HashMap<>();
    private final Map<String, Integer> failures = new HashMap<>();
    private final List<Acted> acted = new ArrayList<>();
    private final List<Release> releases = new ArrayList<>();
    private final Map<String, List<WorkBehind>> work = new HashMap<>();
    private final List<SecondPerson> secondPerson = new ArrayList<>();
    private final Map<String, KeptReport> reports = new HashMap<>();
    private final List<JournalEntry> journal = new ArrayList<>();
    private final Map<Long, Map<String, String>> details = new HashMap<>();
    private final Map<String, Day> days = new TreeMap<>();
    private final Map<String, String> judged = new HashMap<>();
    private final Map<String, Integer> parts = new HashMap<>();
    private ControlHistory history = ControlHistory.NONE;
    private EarlierSoils earlierSoils = EarlierSoils.NONE;
    private final List<String> kept = new ArrayList<>();
    private final Map<String, JudgedDay> wholes = new HashMap<>();
    private final List<Integer> listings = new ArrayList<>();
    private final MemoryShelf shelf = new MemoryShelf();
    private final MemoryCustody custody = new MemoryCustody();

    private final MemoryBench bench =
            new MemoryBench(this::find, name -> startSession(name, Duration.ZERO, Optional.empty()), shelf, custody);
    private final MemoryEquipment equipment = new MemoryEquipment();
    private Optional<String> clockDoubt = Optional.empty();
    private int tokens;
    private int taken;

    synchronized void doubtClock(Optional<String> why) {
        clockDoubt = why;
    }

    @Override
    public synchronized Optional<String> clockDoubt() {
        return clockDoubt;
    }

    synchronized void take(Day fresh) {
        take("2026-11-25", fresh);
    }

    /** Under a name; days are taken in the order of their names. */
    synchronized void take(String name, Day fresh) {
        days.put(name, fresh);
        parts.merge(name, 1, Integer::sum);
    }

    /** Another day in the place of one that was taken, which nobody is told of. */
    synchronized void changeBehind(String name, Day other) {
        days.put(name, other);
    }

    @Override
    public synchronized long newestImport() {
        return taken + parts.values().stream().mapToInt(Integer::intValue).sum();
    }

    @Override
    public EquipmentStore equipment() {
        return equipment;
    }

    @Override
    public synchronized List<LowReading> lowReadings(String method) {
        return wholes.values().stream()
                .flatMap(day -> day.lowReadings().stream())
                .filter(one -> one.method().equals(method))
                .toList();
    }

    @Override
    public synchronized List<Mark> days(int most) {
        listings.add(most);
        return all().subList(0, Math.min(most, days.size()));
    }

    @Override
    public synchronized List<Mark> daysBefore(String day, int most) {
        return all().stream()
                .filter(mark -> mark.day().compareTo(day) < 0)
                .limit(most)
                .toList();
    }

    @Override
    public synchronized Optional<Mark> mark(String day) {
        return all().stream().filter(mark -> mark.day().equals(day)).findFirst();
    }

    /** How many days were asked for at the most, each time the list of days was asked for. */
    synchronized List<Integer> listings() {
        return List.copyOf(listings);
    }

    private List<Mark> all() {
        List<Mark> marks = new ArrayList<>();
        days.keySet().forEach(name -> marks.add(0, new Mark(name, parts.get(name) + "-" + taken)));
        return marks;
    }

    @Override
    public synchronized Optional<String> judgedKey(String name) {
        return Optional.ofNullable(judged.get(name));
    }

    @Override
    public synchronized Optional<JudgedDay> kept(String name, String key) {
        return judgedKey(name).filter(key::equals).map(same -> Objects.requireNonNull(wholes.get(name)));
    }

    @Override
    public synchronized void forget(String name) {
        judged.remove(name);
    }

    @Override
    public synchronized List<String> sharing(String day) {
        Set<LabNumber> mine = labNumbers(day);
        return days.keySet().stream()
                .filter(other -> !other.equals(day) && !Collections.disjoint(mine, labNumbers(other)))
                .toList();
    }

    private Set<LabNumber> labNumbers(String day) {
        return Objects.requireNonNull(days.get(day)).soils().stream()
                .map(Soil::labNumber)
                .collect(Collectors.toSet());
    }

    @Override
    public synchronized List<String> openDays(int most) {
        return all().stream().map(Mark::day).limit(most).toList();
    }

    @Override
    public synchronized Optional<String> newestDayWith(Kept kind, String name) {
        return all().stream()
                .map(Mark::day)
                .filter(day -> has(Objects.requireNonNull(days.get(day)), kind, name))
                .findFirst();
    }

    private static boolean has(Day day, Kept kind, String name) {
        return switch (kind) {
            case SOIL -> day.soils().stream().anyMatch(s -> s.labNumber().text().equals(name));
            case TRAY -> day.trays().stream().anyMatch(t -> t.tray().equals(name));
            case RUN -> day.runs().stream().anyMatch(r -> r.run().equals(name));
            case SUBMISSION, REPORT ->
                day.submissions().stream().anyMatch(s -> s.submission().equals(name));
        };
    }

    @Override
    public synchronized ReadDay day(String name, Optional<ReadDay> before) {
        Day day = Objects.requireNonNull(days.get(name));
        return new ReadDay(day, day.runs().stream().map(RunDigest::of).toList());
    }

    @Override
    public synchronized String keptOfOthers(String name) {
        return "" + taken;
    }

    synchronized List<String> kept() {
        return List.copyOf(kept);
    }

    synchronized void remember(EarlierSoils earlier) {
        earlierSoils = earlier;
        taken++;
    }

    synchronized void remember(ControlHistory earlier) {
        history = earlier;
        taken++;
    }

    @Override
    public synchronized ControlHistory history(String name, LocalDate before) {
        return history;
    }

    @Override
    public synchronized EarlierSoils earlierSoils(String name) {
        return earlierSoils;
    }

    @Override
    public synchronized OwnRecord ownRecord(String name) {
        return earlierSoils.own();
    }

    @Override
    public synchronized void keep(String name, String digest, JudgedDay day) {
        kept.add(name);
        judged.put(name, digest);
        wholes.put(name, day);
    }

    @Override
    public synchronized void keepAnswers(String name, List<Answer> answers, Instant at) {
        answers.stream()
                .filter(one -> one.said() != Answer.Said.OPEN)
                .forEach(one -> answered.put(name + " " + one.cause(), one));
    }

    @Override
    public synchronized Map<CauseKind, Answer.Count> answers() {
        return Answer.byKind(List.copyOf(answered.values()));
    }

    @Override
    public synchronized List<Acted> actions(String of) {
        return List.copyOf(acted);
    }

    @Override
    public List<GateAct> gatesElsewhere(String of) {
        return List.of();
    }

    @Override
    public synchronized void act(String of, Grounds grounds, Action action, String reason, String actor, Instant at) {
        acted.add(new Acted(of, grounds, action, reason, actor, at));
        write(actor, "cause-acted", of + "/" + grounds.cause());
    }

    @Override
    public synchronized List<Release> releases(String of) {
        return List.copyOf(releases);
    }

    @Override
    public synchronized void release(String of, List<SignedReport> signed) {
        for (SignedReport one : signed) {
            Release release = one.release();
            releases.add(release);
            reports.put(
                    release.submission() + "/" + release.revision(),
                    new KeptReport(one.pdf(), "", release.signedAt().toInstant(), false, one.form()));
            write(release.signedBy(), "released", release.submission() + "/" + release.revision());
        }
    }

    /** Somebody did this behind the submission. */
    synchronized void work(String submission, WorkBehind one) {
        work.computeIfAbsent(submission, key -> new ArrayList<>()).add(one);
    }

    @Override
    public synchronized List<WorkBehind> workBehind(String of, String submission) {
        return List.copyOf(work.getOrDefault(submission, List.of()));
    }

    @Override
    public synchronized Map<Integer, String> approvals(String of, String submission) {
        Map<Integer, String> says = new TreeMap<>();
        SecondPerson rule = secondPerson.isEmpty() ? SecondPerson.shipped() : secondPerson.get(0);
        releases.stream()
                .filter(release -> release.submission().equals(submission))
                .forEach(release ->
                        says.put(release.revision(), rule.approval(release.signedBy(), workBehind(of, submission))));
        return says;
    }

    @Override
    public synchronized List<SecondPerson> secondPerson() {
        return List.copyOf(secondPerson);
    }

    @Override
    public synchronized void signSecondPerson(boolean asked, String reason, String person) {
        secondPerson.add(0, new SecondPerson(secondPerson.size() + 1, asked, reason, person, Ashgrove.CLOCK.instant()));
        write(person, "second-person-decided", Integer.toString(secondPerson.size()));
    }

    @Override
    public synchronized Optional<KeptReport> report(String of, String submission, int revision) {
        return Optional.ofNullable(reports.get(submission + "/" + revision));
    }

    /** As if the releases were older than the keeping of reports. */
    synchronized void forgetReports() {
        reports.clear();
    }

    @Override
    public synchronized Optional<ReportForm> lastReportForm(String of, String submission) {
        return releases.stream()
                .filter(release -> release.submission().equals(submission))
                .reduce((first, last) -> last)
                .flatMap(last -> report(of, submission, last.revision()))
                .map(KeptReport::form);
    }

    @Override
    public synchronized KeptReport keepReportLater(
            String of, String submission, int revision, byte[] pdf, ReportForm form, String actor) {
        reports.putIfAbsent(submission + "/" + revision, new KeptReport(pdf, "", Instant.EPOCH, true, form));
        return report(of, submission, revision).orElseThrow();
    }

    @Override
    public MemoryBench bench() {
        return bench;
    }

    @Override
    public MemoryBench badges() {
        return bench;
    }

    @Override
    public synchronized Optional<Person> find(String name) {
        return Optional.ofNullable(people.get(name.toLowerCase(Locale.ROOT)));
    }

    @Override
    public synchronized List<Person> people() {
        return List.copyOf(people.values());
    }

    @Override
    public synchronized void add(Person person, String actor) {
        if (people.putIfAbsent(person.name().toLowerCase(Locale.ROOT), person) != null) {
            throw new IllegalStateException("there is a person of the name " + person.name());
        }
        if (!person.active()) {
            proposed.put(person.name(), actor);
        }
        write(actor, "person-added", person.name());
    }

    @Override
    public synchronized void change(Person person, String actor, Optional<String> linkIssuer) {
        people.put(person.name().toLowerCase(Locale.ROOT), person);
        proposed.remove(person.name());
        write(actor, "person-changed", person.name());
    }

    @Override
    public synchronized void rename(String name, String newName, String actor) {
        Person person = find(name).orElseThrow();
        if (find(newName).isPresent()
                || former.stream().anyMatch(had -> had.name().equals(newName))) {
            throw new Refused("there is somebody called " + newName + " already");
        }
        people.remove(name.toLowerCase(Locale.ROOT));
        people.put(
                newName.toLowerCase(Locale.ROOT),
                new Person(newName, person.role(), person.passwordHash(), person.active()));
        former.replaceAll(had -> had.person().equals(name) ? new FormerName(had.name(), newName, had.until()) : had);
        former.add(0, new FormerName(person.name(), newName, Ashgrove.CLOCK.instant()));
        sessions.replaceAll(
                (token, started) -> started.name().equals(name) ? new Started(newName, started.linkIssuer()) : started);
        write(actor, "person-renamed", name);
    }

    @Override
    public synchronized List<FormerName> formerNames() {
        return List.copyOf(former);
    }

    @Override
    public synchronized void propose(String name, String actor) {
        proposed.put(name, actor);
        write(actor, "person-proposed", name);
    }

    @Override
    public synchronized Optional<String> proposedBy(String name) {
        return Optional.ofNullable(proposed.get(name));
    }

    @Override
    public synchronized String startSession(String name, Duration lasts, Optional<String> linkIssuer) {
        String token = "token-" + ++tokens;
        sessions.put(token, new Started(name, linkIssuer));
        return token;
    }

    private record Started(String name, Optional<String> linkIssuer) {}

    @Override
    public synchronized Optional<Session> session(String token, Duration idle, boolean used) {
        Optional<Started> started = Optional.ofNullable(sessions.get(token));
        return started.flatMap(s -> find(s.name()))
                .filter(Person::active)
                .map(p -> new Session(
                        p,
                        Ashgrove.CLOCK.instant(),
                        Instant.MAX,
                        started.flatMap(Started::linkIssuer),
                        Optional.empty()));
    }

    @Override
    public synchronized void endSession(String token) {
        sessions.remove(token);
    }

    /** As when everybody was away for too long. */
    synchronized void endEverySession() {
        sessions.clear();
    }

    @Override
    public synchronized String oneTimeToken(String name, Duration lasts, String issuer) {
        String token = "once-" + ++tokens;
        once.put(token, new Started(name, Optional.of(issuer)));
        write(issuer, "sign-in-link-issued", name);
        return token;
    }

    @Override
    public synchronized Optional<Redeemed> redeem(String oneTimeToken) {
        return Optional.ofNullable(once.remove(oneTimeToken))
                .flatMap(s ->
                        find(s.name()).map(p -> new Redeemed(p, s.linkIssuer().orElse(""))));
    }

    @Override
    public synchronized void signInFailed(String name, String source) {
        failures.merge(name + "\n" + source, 1, Integer::sum);
    }

    @Override
    public synchronized int failedSignIns(String name, String source, Duration within) {
        return failures.getOrDefault(name + "\n" + source, 0);
    }

    @Override
    public synchronized int failedSignInsFrom(String source, Duration within) {
        return failures.entrySet().stream()
                .filter(e -> e.getKey().endsWith("\n" + source))
                .mapToInt(Map.Entry::getValue)
                .sum();
    }

    @Override
    public synchronized void signInSucceeded(String name, String source) {
        failures.remove(name + "\n" + source);
    }

    @Override
    public synchronized JournalReading journal(JournalQuestion asked, int most) {
        List<JournalEntry> fits = journal(Integer.MAX_VALUE).stream()
                .filter(one -> asked.actor().map(one.actor()::equals).orElse(true))
                .filter(one -> asked.what().map(one.what()::equals).orElse(true))
                .filter(one -> one.subject()
                        .toLowerCase(Locale.ROOT)
                        .contains(asked.about().toLowerCase(Locale.ROOT)))
                .filter(one -> asked.from().map(at -> !one.at().isBefore(at)).orElse(true))
                .filter(one -> asked.until().map(one.at()::isBefore).orElse(true))
                .toList();
        return new JournalReading(
                fits.stream()
                        .filter(one ->
                                asked.before().map(seq -> one.seq() < seq).orElse(true))
                        .limit(most)
                        .map(one -> new JournalLine(one, details.getOrDefault(one.seq(), Map.of())))
                        .toList(),
                fits.size(),
                journal.stream().map(JournalEntry::actor).distinct().sorted().toList(),
                journal.stream().map(JournalEntry::what).distinct().sorted().toList());
    }

    /** An entry with a detail, as the store writes them. */
    synchronized void note(String actor, String what, String subject, Map<String, String> detail) {
        write(actor, what, subject);
        details.put((long) journal.size(), detail);
    }

    synchronized List<JournalEntry> journal(int most) {
        List<JournalEntry> newest = new ArrayList<>(journal);
        java.util.Collections.reverse(newest);
        return newest.subList(0, Math.min(most, newest.size()));
    }

    @Override
    public synchronized JournalCheck verifyJournal() {
        return new JournalCheck(journal.size(), "0".repeat(64), OptionalLong.empty(), "Kept in memory: not chained.");
    }

    @Override
    public synchronized Anchor anchor() {
        return new Anchor(journal.size(), "0123456789abcdef".repeat(4), Instant.parse("2026-11-25T12:00:00Z"));
    }

    private void write(String actor, String what, String subject) {
        journal.add(new JournalEntry(
                journal.size() + 1,
                Instant.parse("2026-11-25T12:00:00Z"),
                actor,
                what,
                subject,
                "{}",
                "0".repeat(64),
                "0".repeat(64)));
    }

    private final Map<String, KeptOrder> runOrders = new LinkedHashMap<>();

    @Override
    public synchronized List<KeptOrder> runOrders(int most) {
        List<KeptOrder> newest = new ArrayList<>(runOrders.values());
        Collections.reverse(newest);
        newest.sort(Comparator.comparing(order -> !order.open()));
        return newest.subList(0, Math.min(most, newest.size()));
    }

    @Override
    public synchronized Optional<KeptOrder> runOrder(String name) {
        return Optional.ofNullable(runOrders.get(name));
    }

    @Override
    public synchronized void keep(RunOrder order, String actor) {
        runOrders.put(order.name(), new KeptOrder(order, actor, Optional.empty(), false));
    }

    @Override
    public synchronized void cancelRunOrder(String name, String reason, String actor, Instant at) {
        KeptOrder kept = runOrders.get(name);
        if (kept == null || !kept.open() || reason.isBlank()) {
            throw new Refused("Run order " + name + " cannot be cancelled.");
        }
        runOrders.put(
                name,
                new KeptOrder(
                        kept.order(), kept.actor(), Optional.of(new KeptOrder.Cancelled(reason, actor, at)), false));
    }

    private final List<Printing> printings = new ArrayList<>();

    @Override
    public synchronized Printing printLabels(
            String kind, String ofDay, List<String> labels, String reason, String actor, Instant at) {
        List<String> again = labels.stream()
                .filter(label -> printings.stream()
                        .anyMatch(one -> one.kind().equals(kind)
                                && one.ofDay().equals(ofDay)
                                && one.labels().contains(label)))
                .toList();
        if (!again.isEmpty() && reason.isBlank()) {
            throw new Refused(again.size() + " of " + labels.size() + " were printed before");
        }
        Printing now = new Printing(kind, ofDay, labels, again.size(), again.isEmpty() ? "" : reason, actor, at);
        printings.add(0, now);
        write(actor, "labels-printed", kind);
        return now;
    }

    @Override
    public synchronized List<Printing> printedLabels(Set<String> kinds, int most) {
        return printings.stream()
                .filter(one -> kinds.contains(one.kind()))
                .limit(most)
                .toList();
    }

    @Override
    public synchronized void layoutSheetPrinted(String day, String actor, Instant at) {
        write(actor, "layout-sheet-printed", day);
    }

    private final MemoryPrograms programs = new MemoryPrograms(this::write);

    @Override
    public MemoryPrograms programs() {
        return programs;
    }

    private final SheetStore sheets = new SheetStore() {
        private final Map<String, KeptSheet> waiting = new LinkedHashMap<>();

        @Override
        public synchronized String keep(
                String fileName, byte[] bytes, KeptSheet.Said said, String actor, Instant at, LocalDate today) {
            String name = waiting.isEmpty() ? "SUB-2201" : "SUB-" + (9000 + waiting.size());
            ofSheets.put(name, new ArrayList<>(List.of(new SaidAnew(1, said, "", actor, at))));
            waiting.put(name, new KeptSheet(name, fileName, bytes, "0".repeat(64), said, 1, "", actor, at));
            return name;
        }

        @Override
        public synchronized void change(
                String submission, int seen, KeptSheet.Said said, String reason, String actor, Instant at) {
            KeptSheet was = waiting.get(submission);
            if (was == null || was.version() != seen || reason.isBlank()) {
                throw new Refused("Submission " + submission + " was not changed.");
            }
            Objects.requireNonNull(ofSheets.get(submission)).add(0, new SaidAnew(seen + 1, said, reason, actor, at));
            waiting.put(
                    submission,
                    new KeptSheet(
                            submission,
                            was.fileName(),
                            was.bytes(),
                            was.sha256(),
                            said,
                            seen + 1,
                            reason,
                            actor,
                            was.receivedAt()));
        }

        @Override
        public synchronized void leave(String submission, String reason, String actor, Instant at) {
            if (reason.isBlank() || waiting.remove(submission) == null) {
                throw new Refused("Submission " + submission + " was not left.");
            }
        }

        @Override
        public synchronized void laidOut(List<String> submissions, String actor, Instant at) {
            submissions.forEach(waiting::remove);
        }

        private final Map<String, List<SaidAnew>> anew = new LinkedHashMap<>();

        @Override
        public synchronized List<SaidAnew> versions(String day, String submission) {
            List<SaidAnew> all = new ArrayList<>(anew.getOrDefault(day + "/" + submission, List.of()));
            Objects.requireNonNull(days.get(day)).submissions().stream()
                    .filter(one -> one.submission().equals(submission))
                    .forEach(one -> all.add(new SaidAnew(
                            0,
                            new KeptSheet.Said(one.client(), one.promisedOn(), one.packageName(), one.note()),
                            "",
                            "",
                            one.receivedAt().toInstant())));
            return all;
        }

        private final Map<String, List<SaidAnew>> ofSheets = new LinkedHashMap<>();

        @Override
        public synchronized List<SaidAnew> versionsOfSheet(String submission) {
            return List.copyOf(ofSheets.getOrDefault(submission, List.of()));
        }

        @Override
        public synchronized void changeLaidOut(
                String day, String submission, int seen, KeptSheet.Said said, String reason, String actor, Instant at) {
            List<SaidAnew> before = anew.computeIfAbsent(day + "/" + submission, key -> new ArrayList<>());
            if (before.size() != seen || reason.isBlank()) {
                throw new Refused("Submission " + submission + " was changed meanwhile; nothing was done.");
            }
            before.add(0, new SaidAnew(seen + 1, said, reason, actor, at));
        }

        @Override
        public synchronized List<KeptSheet> waiting() {
            return List.copyOf(waiting.values());
        }

        @Override
        public synchronized void layOut(
                Day day,
                LocalDate date,
                String sha256,
                List<String> submissions,
                Function<Map<String, List<DockAct>>, Optional<String>> refusal,
                String actor,
                Instant at) {
            refusal.apply(acts()).ifPresent(why -> {
                throw new Refused(why);
            });
            MemoryStore.this.take(date + " laid out", day);
            submissions.forEach(waiting::remove);
        }

        private final Map<String, List<DockAct>> acts = new LinkedHashMap<>();

        @Override
        public synchronized void act(DockAct act, Function<List<DockAct>, Optional<String>> refusal) {
            if (!waiting.containsKey(act.submission())) {
                throw new Refused("Submission " + act.submission() + " does not wait.");
            }
            List<DockAct> before = acts.computeIfAbsent(act.submission(), name -> new ArrayList<>());
            refusal.apply(List.copyOf(before)).ifPresent(why -> {
                throw new Refused(why);
            });
            before.add(act);
        }

        @Override
        public synchronized void book(
                DockAct act,
                Function<List<DockAct>, Optional<String>> refusal,
                LedgerBook.Received received,
                LocalDate today) {
            act(act, refusal);
            custody.receive(received, today, act.actor(), act.at());
        }

        @Override
        public synchronized void takeBack(
                DockAct act,
                Function<List<DockAct>, Optional<String>> refusal,
                Function<List<Move>, List<Move>> lines) {
            List<Move> its = lines.apply(custody.moves());
            act(act, refusal);
            if (!its.isEmpty()) {
                custody.keep(its);
            }
        }

        @Override
        public synchronized Map<String, List<DockAct>> acts() {
            return Map.copyOf(acts);
        }
    };

    @Override
    public MemoryShelf shelf() {
        return shelf;
    }

    @Override
    public MemoryCustody custody() {
        return custody;
    }

    @Override
    public SheetStore sheets() {
        return sheets;
    }
}
