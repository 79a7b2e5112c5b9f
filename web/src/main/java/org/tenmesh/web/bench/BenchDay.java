package org.tenmesh.web.bench;

import java.time.Instant;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.BenchWork;
import org.tenmesh.core.bench.Path;
import org.tenmesh.core.bench.Rack;
import org.tenmesh.core.bench.Step;
import org.tenmesh.core.bench.Subject;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.RedoOrder;
import org.tenmesh.core.desk.TrayState;
import org.tenmesh.core.desk.Work;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.layout.Portions;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.web.words.Words;

/**
 * A day as the bench works on it: made from its trays, from which methods have read them, from redo orders and from what was noted. It never
 * looks at a result, a verdict, a submission or the sealed key. What a tray needs follows the tray as a whole, so a hidden control asks for what
 * its neighbours ask for.
 */
final class BenchDay {
    private final Desk desk;
    private final List<RedoOrder> orders;
    private final Map<Subject, List<BenchAct>> acts = new HashMap<>();
    private final List<BenchAct> racks;
    private final Function<Collection<LabNumber>, Map<LabNumber, String>> onShelf;

    /**
     * @param noted about trays and soils of the day, in the order in which it was stored
     * @param racks noted about racks, the same
     * @param onShelf where soils stand on the shelf, asked for trays that were dumped
     */
    BenchDay(
            Desk desk,
            List<BenchAct> noted,
            List<BenchAct> racks,
            Function<Collection<LabNumber>, Map<LabNumber, String>> onShelf) {
        this.onShelf = onShelf;
        this.desk = desk;
        this.orders = RedoOrder.of(desk).stream().filter(order -> !order.done()).toList();
        this.racks = racks;
        for (BenchAct act : noted) {
            acts.computeIfAbsent(act.subject(), subject -> new ArrayList<>()).add(act);
        }
        for (BenchAct act : racks) {
            acts.computeIfAbsent(act.subject(), subject -> new ArrayList<>()).add(act);
        }
    }

    /** Whether a code is a rack's. */
    static boolean isRack(String code) {
        return Subject.isRack(code);
    }

    /** Whether a name can be a mill's. */
    static boolean isMill(String name) {
        return name.matches("[A-Za-z0-9][A-Za-z0-9 ._-]{0,63}");
    }

    Desk desk() {
        return desk;
    }

    List<BenchAct> acts(Subject subject) {
        return acts.getOrDefault(subject, List.of());
    }

    Subject subject(Tray tray) {
        return Subject.tray(desk.name(), tray.tray());
    }

    Optional<RedoOrder> order(Tray tray) {
        return orders.stream().filter(order -> order.tray().equals(tray.tray())).findFirst();
    }

    /** How a tray stands: what was ordered again comes first. */
    BenchWork of(Tray tray) {
        Subject subject = subject(tray);
        List<String> asked = List.copyOf(desk.askedOf(tray));
        Set<String> lacking = new HashSet<>(
                desk.trayState(tray.tray()).map(TrayState::lacking).orElse(List.of()));
        List<Path> paths = new ArrayList<>();
        Set<String> ordered = new HashSet<>();
        for (RedoOrder order : orders) {
            if (order.tray().equals(tray.tray())
                    && ordered.add(order.method() + order.work().word())) {
                for (Portions.Taken portion : Portions.of(List.of(order.method()), desk.methods())) {
                    paths.add(path(tray, order, portion));
                }
            }
        }
        for (Portions.Taken portion : Portions.of(asked, desk.methods())) {
            paths.add(wholeSpilt(subject, portion)
                    .map(since -> Path.again(portion, since))
                    .orElseGet(() -> Path.of(portion)));
        }
        return BenchWork.of(
                paths,
                (path, step) -> step.method()
                        .filter(method ->
                                !lacking.contains(method) && !(path.again() && !readSince(tray, method, path.since())))
                        .isPresent(),
                acts(subject));
    }

    /**
     * Of a tray that was dumped the soils are fetched first. Its extracts went with it: what would have been read again from them is made
     * again from the soil.
     */
    private Path path(Tray tray, RedoOrder order, Portions.Taken portion) {
        if (BenchWork.dumped(acts(subject(tray))).isEmpty()) {
            return path(order, portion);
        }
        List<LabNumber> soils = tray.wells().stream()
                .flatMap(place -> place.labNumber().stream())
                .toList();
        Map<LabNumber, String> where = onShelf.apply(soils);
        List<LabNumber> missing =
                soils.stream().filter(one -> !where.containsKey(one)).toList();
        Map<String, Integer> boxes = new TreeMap<>();
        where.values().forEach(box -> boxes.merge(box, 1, Integer::sum));
        Path again = order.work().takesPortions()
                ? path(order, portion)
                : Path.again(portion, order.acted().at());
        return again.fromShelf(
                boxes.isEmpty() ? "Not on the shelf" : String.join("; ", boxes.keySet()),
                "each soil into its own well of tray " + tray.tray() + ", the key well as it was"
                        + (order.work() == Work.DILUTION ? "; the new extracts are diluted as the order says" : "")
                        + compared(portion)
                        + (missing.isEmpty()
                                ? ""
                                : "; not on the shelf: "
                                        + String.join(
                                                ", ",
                                                missing.stream()
                                                        .map(LabNumber::text)
                                                        .toList())
                                        + ": ask whoever is in charge"));
    }

    /** For how long the methods of a portion compare stored soil, or that they do not say. */
    private String compared(Portions.Taken portion) {
        return portion.methods().stream()
                .map(method -> "; " + method.head().title() + ": "
                        + method.head()
                                .stored()
                                .map(stored -> "stored soil is compared until "
                                        + Words.day(desk.date().plusDays(stored.comparableDays()))
                                        + ", a later reading is held")
                                .orElse("the method states no limit for stored soil"))
                .collect(Collectors.joining());
    }

    private static Path path(RedoOrder order, Portions.Taken portion) {
        return switch (order.work()) {
            case LOOK -> Path.again(portion, order.acted().at()).withLook();
            case REDO -> Path.again(portion, order.acted().at());
            case CHECK_READING -> Path.readAgain(portion, order.acted().at(), 1);
            case DILUTION -> Path.readAgain(portion, order.acted().at(), order.dilution());
        };
    }

    /** When all vessels of a portion were spilt last; empty when never. */
    private Optional<Instant> wholeSpilt(Subject subject, Portions.Taken portion) {
        return BenchWork.spilt(acts(subject)).stream()
                .filter(act ->
                        act.about().isEmpty() && BenchWork.portion(act.step()).equals(portion.name()))
                .map(BenchAct::storedAt)
                .reduce((first, last) -> last);
    }

    private boolean readSince(Tray tray, String method, Instant since) {
        Set<String> inside = new HashSet<>();
        tray.wells().forEach(place -> place.labNumber().ifPresent(number -> inside.add(number.text())));
        return desk.day().runs().stream()
                .anyMatch(run -> run.method().equals(method)
                        && run.startedAt().toInstant().isAfter(since)
                        && run.readings().identities().stream().anyMatch(inside::contains));
    }

    /**
     * A portion of one soil that was spilt and is to be made again.
     *
     * @param spilt the act that says so
     */
    record Again(LabNumber labNumber, BenchAct spilt, BenchWork work) {}

    /** The portions of single soils of a tray that were spilt and are not made again yet. */
    List<Again> again(Tray tray) {
        List<Again> again = new ArrayList<>();
        List<String> asked = List.copyOf(desk.askedOf(tray));
        for (BenchAct act : BenchWork.spilt(acts(subject(tray)))) {
            Optional<LabNumber> number = tray.wells().stream()
                    .flatMap(place -> place.labNumber().stream())
                    .filter(one -> one.text().equals(act.about()))
                    .findFirst();
            Optional<Portions.Taken> portion = Portions.of(asked, desk.methods()).stream()
                    .filter(one -> one.name().equals(BenchWork.portion(act.step())))
                    .findFirst();
            if (number.isPresent() && portion.isPresent()) {
                BenchWork work = BenchWork.of(
                        List.of(Path.again(portion.get(), act.storedAt())),
                        (path, step) -> step.method()
                                .filter(method -> readSince(number.get(), method, act.storedAt()))
                                .isPresent(),
                        acts(Subject.soil(desk.name(), act.about())));
                if (work.now().isPresent()) {
                    again.add(new Again(number.get(), act, work));
                }
            }
        }
        return again;
    }

    private boolean readSince(LabNumber labNumber, String method, Instant since) {
        return desk.day().runs().stream()
                .anyMatch(run -> run.method().equals(method)
                        && run.startedAt().toInstant().isAfter(since)
                        && run.readings().identities().contains(labNumber.text()));
    }

    /** How a rack, or a soil that is in no tray, stands on its way to layout; a rack that was laid out begins anew. */
    BenchWork beforeLayout(Subject subject) {
        return BenchWork.of(List.of(Path.beforeLayout()), (path, step) -> false, round(subject));
    }

    /** What lies on a rack, and what was done with it. */
    Rack rack(String code) {
        return Rack.of(round(Subject.rack(code)));
    }

    private List<BenchAct> round(Subject subject) {
        return subject.kind() == Subject.Kind.RACK ? Rack.round(acts(subject)) : acts(subject);
    }

    /** Whether a tray, a soil or a rack is regulated, so that it is kept apart. */
    boolean regulated(Subject subject) {
        return switch (subject.kind()) {
            case TRAY ->
                desk.trayState(subject.code()).map(TrayState::regulated).orElse(false);
            case SOIL ->
                desk.place(new LabNumber(subject.code()))
                        .flatMap(place -> desk.trayState(place.tray().tray()))
                        .map(TrayState::regulated)
                        .orElse(false);
            case RACK -> rack(subject.code()).regulated();
            case EQUIPMENT -> false;
        };
    }

    /** The racks of which something was noted that is not laid out yet. */
    List<Subject> racks() {
        return racks.stream()
                .map(BenchAct::subject)
                .filter(subject -> subject.kind() == Subject.Kind.RACK)
                .distinct()
                .filter(rack -> !rack(rack.code()).loads().isEmpty()
                        || beforeLayout(rack).lines().stream()
                                .anyMatch(line -> line.act().isPresent()))
                .toList();
    }

    /** The steps that go on by themselves now, with what they belong to. */
    List<Map.Entry<Subject, BenchWork.Line>> running() {
        List<Map.Entry<Subject, BenchWork.Line>> running = new ArrayList<>();
        for (Tray tray : desk.day().trays()) {
            if (acts.containsKey(subject(tray))) {
                of(tray).lines().forEach(line -> addRunning(running, subject(tray), line));
                again(tray)
                        .forEach(one -> one.work()
                                .lines()
                                .forEach(line -> addRunning(
                                        running,
                                        Subject.soil(
                                                desk.name(), one.labNumber().text()),
                                        line)));
            }
        }
        racks().forEach(rack -> beforeLayout(rack).lines().forEach(line -> addRunning(running, rack, line)));
        return running;
    }

    private static void addRunning(
            List<Map.Entry<Subject, BenchWork.Line>> running, Subject subject, BenchWork.Line line) {
        if (line.state() == BenchWork.State.RUNS) {
            running.add(Map.entry(subject, line));
        }
    }

    /** The instruments that have run a method on this day, by name. */
    List<String> instruments(Step step) {
        return desk.day().runs().stream()
                .filter(run -> step.method().filter(run.method()::equals).isPresent())
                .map(Run::instrument)
                .distinct()
                .sorted()
                .toList();
    }

    /** The methods of a tray that are read from a portion. */
    List<Method> methods(Tray tray, String portion) {
        return Portions.of(List.copyOf(desk.askedOf(tray)), desk.methods()).stream()
                .filter(one -> one.name().equals(portion))
                .flatMap(one -> one.methods().stream())
                .toList();
    }
}
