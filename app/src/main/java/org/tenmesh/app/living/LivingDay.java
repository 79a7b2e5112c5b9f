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
import java.util.Set;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.Supplier;
import java.util.stream.Stream;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.RedoOrder;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.layout.Portions;
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
 * <p>One thread plays the instruments and one the people, each in the order of time: somebody who waits for a page holds up no instrument.
 */
public final class LivingDay implements AutoCloseable {
    private static final Logger LOG = LoggerFactory.getLogger(LivingDay.class);
    /** How many times faster than real ones the invented instruments read at the usual speed. */
    private static final double FASTER = 40;

    private static final Duration LONGEST_PAUSE = Duration.ofMinutes(8);
    private static final Duration LOOKS = Duration.ofSeconds(2);
    private static final String OPERATOR = "B. Tansy";

    private final Scenario scenario;
    private final Map<String, Scenario> earlier;
    private final Story story;
    private final Map<String, Sending> instruments;
    private final PlayedPeople people;
    private final Supplier<Optional<Desk>> desk;
    private final Clock clock;
    private final double speed;
    private final Timeline readings;
    private final Timeline deeds;
    private final Map<String, Integer> runsOf = new HashMap<>();
    private final Set<String> readAgain = new HashSet<>();
    private final List<String> missed = new CopyOnWriteArrayList<>();

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

                A day is being played, in about %.0f minutes: boxes come, trays are worked on, instruments send what they read, one
                of them cannot be calibrated and one drifts. What you order, the bench does; what nobody orders, %s orders and releases in
                the end.""", 10 / speed, inCharge);
    }

    /**
     * The day of the invented laboratory, not started yet.
     *
     * @param names of the people: in charge, quality, bench, client service
     * @param password of everybody
     * @param earlier scenarios of earlier days by the names of the days, of which soils may be read again
     */
    public static LivingDay of(
            Scenario scenario,
            InventedInstruments instruments,
            URI pages,
            List<String> names,
            String password,
            Supplier<Optional<Desk>> desk,
            Clock clock,
            double speed,
            Map<String, Scenario> earlier) {
        return new LivingDay(
                scenario,
                earlier,
                Story.usual(),
                instruments.sending(),
                new PlayedPeople(names, pages, password),
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
            Map<String, Scenario> earlier,
            Story story,
            Map<String, Sending> instruments,
            PlayedPeople people,
            Supplier<Optional<Desk>> desk,
            Clock clock,
            double speed) {
        this.scenario = scenario;
        this.earlier = Map.copyOf(earlier);
        this.story = story;
        this.instruments = Map.copyOf(instruments);
        this.people = people;
        this.desk = desk;
        this.clock = clock;
        this.speed = speed;
        this.readings = new Timeline("living-day-instruments", clock, speed, this::missed);
        this.deeds = new Timeline("living-day-people", clock, speed, this::missed);
    }

    public void start() {
        Day day = Simulator.simulate(scenario).day();
        day.runs().forEach(run -> readings.at(story.begins(run.run()), () -> begin(run)));
        readings.at(story.firstLook(), this::lookAtOrders);
        deeds.at(story.benchBegins(), this::beginAtTheBench);
        story.deeds().forEach(deed -> deeds.at(deed.at(), () -> people.act(deed)));
        readings.start();
        deeds.start();
    }

    private void missed(Exception failed) {
        missed.add(String.valueOf(failed.getMessage()));
        LOG.warn("something of the living day did not happen", failed);
    }

    /** What of the day did not happen or was refused, each with its reason; empty when all went as it was told. */
    public List<String> missed() {
        return List.copyOf(missed);
    }

    @Override
    public void close() {
        deeds.close();
        readings.close();
    }

    // Instruments

    private void begin(Run run) throws IOException {
        runsOf.merge(run.instrument(), 1, Integer::sum);
        if (!story.stopsAtItsGate(run.run())) {
            send(run);
            return;
        }
        send(Played.beforeTheFirstSoil(run));
        readings.in(story.calibratesAgainAfter(), () -> begin(again(run.method(), run.instrument(), soils(run))));
    }

    private void send(Run run) throws IOException {
        Sending sending = instruments.get(run.instrument());
        if (sending == null) {
            throw new IOException("instrument " + run.instrument() + " sends nothing");
        }
        OffsetDateTime now = now();
        sending.begin(run);
        List<Played> played = Played.of(run, now, FASTER * speed, LONGEST_PAUSE);
        long from = readings.nowMillis();
        Duration last = Duration.ZERO;
        for (Played one : played) {
            last = one.after();
            // Times of readings are real; only the pauses between them are short.
            readings.add(from + one.after().toMillis(), () -> {
                Played there = one.without(tooLittle(run.method()));
                if (there.readings().size() > 0) {
                    sending.send(run, there.readings());
                }
            });
        }
        readings.add(from + last.toMillis() + 1, () -> {
            Set<String> missing = tooLittle(run.method());
            sending.end(Played.whole(
                    run,
                    played.stream()
                            .map(one -> one.without(missing))
                            .filter(one -> one.readings().size() > 0)
                            .toList()));
        });
    }

    /**
     * Lab numbers of which there was too little soil for a method: none of them stands at the instrument. A visitor's note is known from the day,
     * what the played bench left empty from the bench itself.
     */
    private Set<String> tooLittle(String method) {
        Set<String> missing = new HashSet<>();
        desk.get().ifPresent(shown -> {
            shown.day().shortages().stream()
                    .filter(shortage -> shortage.method().equals(method))
                    .forEach(shortage -> missing.add(shortage.labNumber().text()));
            shown.methods().find(method).ifPresent(its -> missing.addAll(people.unfilled(Portions.name(its))));
        });
        return missing;
    }

    private OffsetDateTime now() {
        return OffsetDateTime.now(clock.withZone(scenario.options().zone()));
    }

    private Run again(String method, String instrument, List<LabNumber> soils) {
        return again(scenario, method, instrument, soils);
    }

    private Run again(Scenario of, String method, String instrument, List<LabNumber> soils) {
        int turn = runsOf.getOrDefault(instrument, 0) + 1;
        return Simulator.readAgain(
                of,
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

    private void beginAtTheBench() throws IOException, InterruptedException {
        people.begin();
        deeds.in(story.benchTurn(), this::turnAtTheBench);
    }

    private void turnAtTheBench() throws IOException, InterruptedException {
        deeds.in(story.benchTurn(), this::turnAtTheBench);
        Optional<PlayedBench.Handed> handed = people.benchTurn();
        if (handed.isPresent()) {
            Scenario its = earlier.get(handed.get().day());
            if (its == null) {
                throw new IOException("day " + handed.get().day() + " was not played, so nothing of it is read again");
            }
            String method = handed.get().method();
            List<LabNumber> soils = handed.get().soils();
            readings.in(
                    Duration.ZERO,
                    () -> begin(again(its, method, instrument(desk.get().orElseThrow(), method), soils)));
        }
    }

    /** Does what was ordered, whoever ordered it. */
    private void lookAtOrders() {
        readings.in(LOOKS, this::lookAtOrders);
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
        ordered.forEach((method, soils) -> readings.in(story.benchTakes(), () -> {
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
