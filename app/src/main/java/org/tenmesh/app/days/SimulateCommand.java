package org.tenmesh.app.days;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import org.tenmesh.app.line.CannotUse;
import org.tenmesh.app.line.Command;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.Nearest;
import org.tenmesh.app.line.NewFolder;
import org.tenmesh.app.line.Shape;
import org.tenmesh.app.line.Status;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.exchange.day.DayFolder;
import org.tenmesh.exchange.json.Json;
import org.tenmesh.simulator.ControlsKnown;
import org.tenmesh.simulator.Options;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.SimulatedDay;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.simulator.faults.Fault;
import org.tenmesh.simulator.numbers.Noise;
import org.tenmesh.simulator.soils.Ground;
import org.tenmesh.simulator.soils.Likeness;
import org.tenmesh.simulator.soils.Mixture;

/** {@code tenmesh simulate --seed N --soils N [--fault KIND]... --out DAY}. */
public final class SimulateCommand implements Command {
    // Not today: the same words must give the same bytes.
    private static final LocalDate USUAL_DATE = LocalDate.of(2026, 11, 25);

    private static final String GROUNDS =
            Arrays.stream(Ground.values()).map(Ground::word).collect(Collectors.joining(", "));

    @Override
    public Shape shape() {
        return new Shape(
                "simulate",
                "Make an invented day with known truth and, if wanted, planted faults.",
                List.of(),
                List.of(
                        Shape.Option.required("--seed", "N", "decides everything left to chance"),
                        Shape.Option.required(
                                "--soils", "N", "clients' soils, 1 to 90000; hidden controls come on top"),
                        Shape.Option.required("--out", "DAY", "a new or empty folder"),
                        Shape.Option.of("--fault", "KIND", "something to go wrong; may be given several times"),
                        Shape.Option.of("--date", "DATE", "the laboratory day, usually " + USUAL_DATE),
                        Shape.Option.flag(
                                "--every-method", "ten packages over all routine methods instead of three methods"),
                        Shape.Option.of(
                                "--ground",
                                "GROUND",
                                "the kind of soil, usually arable; given several times, each client has one of them"),
                        Shape.Option.of(
                                "--alike",
                                "C/F/S",
                                "how alike soils are: shares of variance by client, field and soil, usually 0.70/0.22/0.08"),
                        Shape.Option.of(
                                "--known",
                                "RUNS",
                                "earlier runs from which the laboratory knows its control soils, usually "
                                        + ControlsKnown.usual().runs()),
                        Shape.Option.of(
                                "--tails",
                                "N",
                                "errors of measurement of a Student t distribution with N degrees of freedom, 3 to 100; usually normal"),
                        Shape.Option.of(
                                "--shared-errors",
                                "RUN/RACK/PROBE",
                                "errors that a run, a rack and a probe share, in standard deviations of a portion, usually 0/0/0"),
                        Shape.Option.of(
                                "--other-ground",
                                "SHARE",
                                "soils from another kind of ground among each client's, 0 to 1"),
                        Shape.Option.of(
                                "--single-soils", "SHARE", "clients whose soils each come from another place, 0 to 1"),
                        Shape.Option.flag(
                                "--no-key-wells", "trays of twelve soils, without the well that is left empty"),
                        Shape.Option.flag("--given-ph", "one pH robot sends pH instead of potentials"),
                        Shape.Option.flag("--json", "print what was made as JSON")),
                List.of(
                        "Kinds: " + Fault.kinds().stream().map(CauseKind::word).collect(Collectors.joining(", ")) + ".",
                        "KIND may say where and how much: KIND@RUN:POSITION,analytes=P+K,size=0.2. Which keys a kind takes and what its size"
                                + " means stands in docs/simulator.md.",
                        "Grounds: " + GROUNDS + ", or mixed for all of them.",
                        "Same seed, same bytes. Nothing in such a day is real; what is true of it is written beside it."));
    }

    @Override
    public int run(Shape.Given given, Console console) throws IOException {
        Path out = Path.of(given.text("--out").orElseThrow());
        NewFolder.expected(out);
        Scenario scenario = scenario(given);
        SimulatedDay simulated;
        try {
            simulated = console.during(
                    String.format(Locale.ROOT, "Making %,d soils", scenario.soils()),
                    () -> Simulator.simulate(scenario));
        } catch (IllegalArgumentException wrong) {
            throw new CannotUse(String.valueOf(wrong.getMessage()));
        }
        console.during("Writing " + out, () -> {
            Files.createDirectories(out);
            DayFolder.write(simulated.day(), out);
            simulated.truth().write(out);
            return out;
        });
        long readings = simulated.day().runs().stream()
                .mapToLong(run -> run.readings().size())
                .sum();
        if (given.has("--json")) {
            console.out()
                    .println(Json.line(Json.object(
                            "out",
                            out.toString(),
                            "soils",
                            simulated.day().soils().size(),
                            "runs",
                            simulated.day().runs().size(),
                            "readings",
                            readings)));
        } else {
            console.out()
                    .printf(
                            Locale.ROOT,
                            "An invented day: %,d lab numbers, %,d runs, %,d readings, %d planted fault%s, in %s%n",
                            simulated.day().soils().size(),
                            simulated.day().runs().size(),
                            readings,
                            scenario.faults().size(),
                            scenario.faults().size() == 1 ? "" : "s",
                            out);
        }
        return Status.DONE;
    }

    private static Scenario scenario(Shape.Given given) {
        long seed = given.number("--seed", 0, Long.MIN_VALUE, Long.MAX_VALUE);
        int soils = (int) given.number("--soils", 0, 1, 90_000);
        LocalDate date;
        try {
            date = given.text("--date").map(LocalDate::parse).orElse(USUAL_DATE);
        } catch (DateTimeException wrong) {
            throw new CannotUse("--date takes a date such as 2026-11-25, found \""
                    + given.text("--date").orElse("") + "\"");
        }
        List<Fault> faults = new ArrayList<>();
        for (String fault : given.all("--fault")) {
            try {
                faults.add(Fault.parse(fault));
            } catch (IllegalArgumentException wrong) {
                throw new CannotUse(String.valueOf(wrong.getMessage())
                        + Nearest.perhaps(
                                fault.replaceFirst("[@,].*", ""),
                                Fault.kinds().stream().map(CauseKind::word).toList()));
            }
        }
        Options usual = Options.defaults();
        Options options = new Options(
                given.has("--given-ph"),
                usual.inProgress(),
                usual.balanceDecimals(),
                usual.zone(),
                given.has("--every-method"),
                !given.has("--no-key-wells"),
                grounds(given.all("--ground"), usual),
                likeness(given, usual),
                new ControlsKnown(
                        (int) given.number("--known", usual.controlsKnown().runs(), 4, 1000),
                        usual.controlsKnown().laboratory()),
                noise(given),
                mixture(given));
        return new Scenario(seed, soils, faults, date, options);
    }

    private static List<Ground> grounds(List<String> words, Options usual) {
        List<Ground> grounds = new ArrayList<>();
        for (String word : words) {
            if (word.equals("mixed")) {
                grounds.addAll(List.of(Ground.values()));
            } else {
                grounds.add(Ground.of(word)
                        .orElseThrow(() -> new CannotUse(
                                "--ground takes one of " + GROUNDS + " or mixed, found \"" + word + "\"")));
            }
        }
        return grounds.isEmpty() ? usual.grounds() : grounds;
    }

    private static Noise noise(Shape.Given given) {
        int freedom = (int) given.number("--tails", 0, 3, 100);
        String[] shared = given.text("--shared-errors").orElse("0/0/0").split("/", -1);
        try {
            if (shared.length == 3) {
                return new Noise(
                        freedom,
                        Double.parseDouble(shared[0]),
                        Double.parseDouble(shared[1]),
                        Double.parseDouble(shared[2]));
            }
        } catch (IllegalArgumentException wrong) {
            throw new CannotUse("--shared-errors: " + wrong.getMessage());
        }
        throw new CannotUse("--shared-errors takes three numbers such as 0.5/0.5/0.5, found \""
                + given.text("--shared-errors").orElse("") + "\"");
    }

    private static Mixture mixture(Shape.Given given) {
        try {
            return new Mixture(
                    Double.parseDouble(given.text("--other-ground").orElse("0")),
                    Double.parseDouble(given.text("--single-soils").orElse("0")));
        } catch (IllegalArgumentException wrong) {
            throw new CannotUse("--other-ground, --single-soils: " + wrong.getMessage());
        }
    }

    private static Likeness likeness(Shape.Given given, Options usual) {
        try {
            return given.text("--alike").map(Likeness::parse).orElse(usual.likeness());
        } catch (IllegalArgumentException wrong) {
            throw new CannotUse("--alike: " + wrong.getMessage());
        }
    }
}
