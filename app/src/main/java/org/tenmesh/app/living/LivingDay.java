package org.tenmesh.app.living;

import java.io.IOException;
import java.net.URI;
import java.time.Clock;
import java.time.Duration;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.PriorityQueue;
import java.util.Set;
import java.util.function.Supplier;
import java.util.stream.Stream;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.RedoOrder;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.simulator.Played;
import org.tenmesh.simulator.ReadAgain;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.simulator.instruments.ElectrodeModel;
import org.tenmesh.simulator.instruments.EmissionModel;
import org.tenmesh.simulator.instruments.IgnitionModel;

/**
 * A day of the invented laboratory as it happens. Instruments send what they read over the lines and into the folders that the program
 * watches, and people use the pages; nothing reaches the program in another way. What goes wrong is in the scenario.
 *
 * <p>One thread plays everything, in the order of time.
 */
public final class LivingDay implements AutoCloseable {
    private static final Logger LOG = LoggerFactory.getLogger(LivingDay.class);
    /** How many times faster than real ones the invented instruments read at the usual speed. */
    private static final double FASTER = 40;

    private static final Duration LONGEST_PAUSE = Duration.ofMinutes(8);
    private static final Duration LOOKS = Duration.ofSeconds(2);
    private static final String OPERATOR = "B. Tansy";

    private final Scenario scenario;
    private final Story story;
    private final Map<String, Sending> instruments;
    private final PlayedPeople people;
    private final Supplier<Optional<Desk>> desk;
    private final Clock clock;
    private final double speed;
    private final Thread thread;
    private final PriorityQueue<Moment> moments =
            new PriorityQueue<>(Comparator.comparingLong(Moment::atMillis).thenComparingLong(Moment::order));
    private final Map<String, Integer> runsOf = new HashMap<>();
    private final Set<String> readAgain = new HashSet<>();
    private long order;
    private long startMillis;
    private volatile boolean closed;

    /** Something that happens at a time, in milliseconds from the start. */
    private record Moment(long atMillis, long order, Deed deed) {}

    /** What happens then. */
    private interface Deed {
        void happen() throws IOException, InterruptedException;
    }

    /** The soils and faults of the day that is played. */
    public static Scenario scenario(LocalDate date) {
        return Story.scenario(date);
    }

    /**
     * What a visitor is told of the day.
     *
     * @param inCharge who orders and releases what the visitor leaves
     */
    public static String told(double speed, String inCharge) {
        return String.format(Locale.ROOT, """

                A day is being played, in about %.0f minutes: soils are laid out, instruments send what they read, one of them cannot be
                calibrated and one drifts. What you order, the bench does; what nobody orders, %s orders and releases in the end.""", 10 / speed, inCharge);
    }

    /**
     * The day of the invented laboratory, not started yet.
     *
     * @param names of the people, the one in charge first
     * @param password of everybody
     */
    public static LivingDay of(
            Scenario scenario,
            InventedInstruments instruments,
            URI pages,
            List<String> names,
            String password,
            Supplier<Optional<Desk>> desk,
            Clock clock,
            double speed) {
        return new LivingDay(
                scenario,
                Story.usual(),
                instruments.sending(),
                new PlayedPeople(new PlayedPerson(names.get(0), pages), password),
                desk,
                clock,
                speed);
    }

    /**
     * @param instruments how each sends, by its name
     * @param desk the day as the pages show it: what the bench is asked to do stands there
     * @param speed 1 = the usual ten minutes; 2 = five
     */
    private LivingDay(
            Scenario scenario,
            Story story,
            Map<String, Sending> instruments,
            PlayedPeople people,
            Supplier<Optional<Desk>> desk,
            Clock clock,
            double speed) {
        this.scenario = scenario;
        this.story = story;
        this.instruments = Map.copyOf(instruments);
        this.people = people;
        this.desk = desk;
        this.clock = clock;
        this.speed = speed;
        this.thread = new Thread(this::play, "living-day");
        thread.setDaemon(true);
    }

    public void start() {
        startMillis = clock.millis();
        Day day = Simulator.simulate(scenario).day();
        day.runs().forEach(run -> at(story.begins(run.run()), () -> begin(run)));
        at(story.firstLook(), this::lookAtOrders);
        story.deeds().forEach(deed -> at(deed.at(), () -> people.act(deed)));
        thread.start();
    }

    @Override
    public void close() {
        closed = true;
        thread.interrupt();
    }

    private void at(Duration after, Deed deed) {
        moments.add(new Moment(Math.round(after.toMillis() / speed), order++, deed));
    }

    private void in(Duration fromNow, Deed deed) {
        moments.add(new Moment(clock.millis() - startMillis + Math.round(fromNow.toMillis() / speed), order++, deed));
    }

    private void play() {
        while (!closed && !moments.isEmpty()) {
            Moment next = moments.remove();
            try {
                long waits = startMillis + next.atMillis() - clock.millis();
                if (waits > 0) {
                    Thread.sleep(waits);
                }
                next.deed().happen();
            } catch (InterruptedException stop) {
                return;
            } catch (IOException | RuntimeException failed) {
                // The rest of the day goes on.
                LOG.warn("something of the living day did not happen", failed);
            }
        }
    }

    // Instruments

    private void begin(Run run) throws IOException {
        runsOf.merge(run.instrument(), 1, Integer::sum);
        if (!story.stopsAtItsGate(run.run())) {
            send(run);
            return;
        }
        send(Played.beforeTheFirstSoil(run));
        in(story.calibratesAgainAfter(), () -> begin(again(run.method(), run.instrument(), soils(run))));
    }

    private void send(Run run) throws IOException {
        Sending sending = instruments.get(run.instrument());
        if (sending == null) {
            throw new IOException("instrument " + run.instrument() + " sends nothing");
        }
        OffsetDateTime now = now();
        sending.begin(run);
        List<Played> played = Played.of(run, now, FASTER * speed, LONGEST_PAUSE);
        long from = clock.millis() - startMillis;
        Duration last = Duration.ZERO;
        for (Played one : played) {
            last = one.after();
            // Times of readings are real; only the pauses between them are short.
            moments.add(new Moment(from + one.after().toMillis(), order++, () -> sending.send(run, one.readings())));
        }
        moments.add(new Moment(from + last.toMillis() + 1, order++, () -> sending.end(Played.whole(run, played))));
    }

    private OffsetDateTime now() {
        return OffsetDateTime.now(clock.withZone(scenario.options().zone()));
    }

    private Run again(String method, String instrument, List<LabNumber> soils) {
        int turn = runsOf.getOrDefault(instrument, 0) + 1;
        return Simulator.readAgain(
                scenario,
                new ReadAgain(String.format("%s-%02d", instrument, turn), method, instrument, OPERATOR, now(), soils));
    }

    private static List<LabNumber> soils(Run run) {
        List<LabNumber> soils = new ArrayList<>();
        Set<String> seen = new HashSet<>();
        for (int i = 0; i < run.readings().size(); i++) {
            if (run.readings().role(i) == Role.SAMPLE && seen.add(run.readings().identity(i))) {
                soils.add(new LabNumber(run.readings().identity(i)));
            }
        }
        return soils;
    }

    // The bench

    /** Does what was ordered, whoever ordered it. */
    private void lookAtOrders() {
        in(LOOKS, this::lookAtOrders);
        Optional<Desk> shown = desk.get();
        if (shown.isEmpty()) {
            return;
        }
        Map<String, List<LabNumber>> ordered = new HashMap<>();
        for (RedoOrder order : RedoOrder.of(shown.get())) {
            if (!order.done()
                    && !order.begun()
                    && readAgain.add(order.tray() + " " + order.method() + " "
                            + order.acted().at())) {
                ordered.computeIfAbsent(order.method(), method -> new ArrayList<>())
                        .addAll(order.labNumbers());
            }
        }
        ordered.forEach((method, soils) -> in(story.benchTakes(), () -> {
            String instrument = instrument(shown.get(), method);
            begin(again(method, instrument, soils.stream().distinct().toList()));
        }));
    }

    /** The last of the instruments that read by the method: the first one may be the one that failed. */
    private static String instrument(Desk desk, String method) {
        return desk.day().runs().stream()
                .filter(run -> run.method().equals(method))
                .map(Run::instrument)
                .max(Comparator.naturalOrder())
                .orElseGet(() -> Stream.of(ElectrodeModel.METHOD, IgnitionModel.METHOD, EmissionModel.METHOD)
                        .filter(method::equals)
                        .findFirst()
                        .orElse(""));
    }
}
