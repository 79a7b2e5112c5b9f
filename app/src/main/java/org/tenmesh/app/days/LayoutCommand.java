package org.tenmesh.app.days;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.security.SecureRandom;
import java.time.DateTimeException;
import java.time.LocalDate;
import java.util.Arrays;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Stream;
import org.tenmesh.app.line.CannotUse;
import org.tenmesh.app.line.Command;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.NewFolder;
import org.tenmesh.app.line.Shape;
import org.tenmesh.app.line.Status;
import org.tenmesh.core.controldesign.ControlDesign;
import org.tenmesh.core.controldesign.ControlDesign.Row;
import org.tenmesh.core.controldesign.ControlDesign.Way;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.layout.Layout;
import org.tenmesh.core.quantity.Significant;
import org.tenmesh.core.statistics.FalseAlarm;
import org.tenmesh.exchange.day.DayFolder;
import org.tenmesh.exchange.json.Json;

/** {@code tenmesh layout --soils N}: how many hidden controls a day needs, and where everything goes. */
public final class LayoutCommand implements Command {
    // The laboratory's own choice, like the policy's: no source was found for either.
    private static final double USUAL_ACCEPTED = 0.05;
    private static final double USUAL_SHIFT = 2;

    @Override
    public Shape shape() {
        return new Shape(
                "layout",
                "Say how many hidden controls a day needs; lay out its trays.",
                List.of(),
                List.of(
                        Shape.Option.required("--soils", "N", "clients' soils in the day, 1 to 90000"),
                        Shape.Option.of(
                                "--shift",
                                "K",
                                "a lasting shift to be seen, standard deviations of a control, usually 2"),
                        Shape.Option.of(
                                "--allowed",
                                "T",
                                "results are wrong beyond this many of them; else every result with the shift is"),
                        Shape.Option.of("--analytes", "N", "results of one control judged together, usually 1"),
                        Shape.Option.of(
                                "--accept",
                                "W",
                                "wrong results that may leave before the shift is seen, usually 5 % of the soils"),
                        Shape.Option.of(
                                "--watch", "WAY", "single (usual), mean or average: how the controls are watched"),
                        Shape.Option.of("--every", "M", "lay out with one control in so many, whatever is advised"),
                        Shape.Option.of("--out", "DIR", "lay out, into a new or empty folder"),
                        Shape.Option.of("--day", "DATE", "the laboratory day, part of every lab number"),
                        Shape.Option.of("--materials", "A,B,…", "control soils to choose from"),
                        Shape.Option.of("--serial", "N", "first serial to give, usually 1"),
                        Shape.Option.of("--tray", "N", "first tray to fill, usually 1"),
                        Shape.Option.flag(
                                "--no-key-wells",
                                "fill every well, so that only the soils themselves show a turned tray"),
                        Shape.Option.of("--seed", "N", "make the same layout again; for trials only"),
                        Shape.Option.flag("--json", "print the table as JSON")),
                List.of(
                        "DIR gets samples.csv, trays.csv and controls.csv. Whoever reads controls.csv knows the controls: keep it",
                        "apart. So does whoever knows the seed, or tries small ones; without --seed it comes from the system's",
                        "source of secure chance and is kept nowhere.",
                        "Exit status: 0 done; 1 no interval in the table releases as few; 2 the input cannot be used.",
                        "What the numbers mean: docs/control-design.md."));
    }

    @Override
    public int run(Shape.Given given, Console console) throws IOException {
        int soils = (int) given.number("--soils", 0, 1, 90_000);
        ControlDesign.Question question = new ControlDesign.Question(
                soils,
                given.above0("--shift").orElse(USUAL_SHIFT),
                given.above0("--allowed"),
                Policy.defaults().number(Setting.CONTROL_FALSE_ALARM),
                (int) given.number("--analytes", 1, 1, 1000));
        double accepted = given.above0("--accept").orElse(USUAL_ACCEPTED * soils);
        Way watch = watch(given);
        ControlDesign design = ControlDesign.of(question);
        Optional<Row> advised = design.longest(watch, accepted);
        Optional<Integer> interval = given.has("--every")
                ? Optional.of((int) given.number("--every", 0, 2, 1000))
                : advised.map(Row::interval);
        Optional<Layout.Plan> plan = Optional.empty();
        if (given.has("--out")) {
            plan = Optional.of(layOut(given, soils, interval));
        } else {
            List.of("--day", "--materials", "--serial", "--tray", "--no-key-wells", "--seed").stream()
                    .filter(given::has)
                    .findFirst()
                    .ifPresent(option -> {
                        throw new CannotUse(option + " belongs to a layout; say with --out where it goes");
                    });
        }
        if (given.has("--json")) {
            json(console.out(), design, accepted);
        } else {
            words(console.out(), design, accepted);
            if (plan.isPresent()) {
                console.out()
                        .printf(
                                Locale.ROOT,
                                "%nLaid out with one control in %d: %,d soils in %,d trays, in %s%n"
                                        + "controls.csv there is the key. Keep it apart from whoever handles soil.%n",
                                interval.orElseThrow(),
                                soils,
                                plan.get().trays().size(),
                                given.text("--out").orElseThrow());
            }
        }
        return interval.isEmpty() ? Status.HELD : Status.DONE;
    }

    private static Way watch(Shape.Given given) {
        String typed = given.text("--watch").orElse("single");
        return Arrays.stream(Way.values())
                .filter(way -> way.name().toLowerCase(Locale.ROOT).equals(typed))
                .findFirst()
                .orElseThrow(() -> new CannotUse("--watch takes single, mean or average, found \"" + typed + "\""));
    }

    private static Layout.Plan layOut(Shape.Given given, int soils, Optional<Integer> interval) throws IOException {
        Path out = Path.of(given.text("--out").orElseThrow());
        NewFolder.expected(out);
        if (!given.has("--day") || !given.has("--materials")) {
            throw new CannotUse(String.join(
                    "\n  ",
                    Stream.of(
                                    given.has("--day")
                                            ? ""
                                            : "--day DATE is missing: it is part of every lab number of a layout",
                                    given.has("--materials")
                                            ? ""
                                            : "--materials A,B,… is missing: a layout needs control soils")
                            .filter(what -> !what.isEmpty())
                            .toList()));
        }
        List<String> materials = List.of(given.text("--materials").orElseThrow().split(",", -1));
        if (materials.stream().anyMatch(String::isBlank) || new LinkedHashSet<>(materials).size() < materials.size()) {
            throw new CannotUse("--materials takes names with commas between, each once, found \""
                    + String.join(",", materials) + "\"");
        }
        LocalDate day;
        try {
            day = LocalDate.parse(given.text("--day").orElseThrow());
        } catch (DateTimeException wrong) {
            throw new CannotUse("--day takes a date such as 2026-11-25, found \""
                    + given.text("--day").orElse("") + "\"");
        }
        if (interval.isEmpty()) {
            throw new CannotUse("no interval of the table releases as few wrong results from " + soils
                    + " soils; give --every M, or a larger --accept W");
        }
        Layout.Start start = new Layout.Start(
                day, (int) given.number("--serial", 1, 1, 99_999), (int) given.number("--tray", 1, 1, 9_999));
        long seed = given.has("--seed")
                ? given.number("--seed", 0, Long.MIN_VALUE, Long.MAX_VALUE)
                : new SecureRandom().nextLong();
        Layout.Plan plan;
        try {
            Layout.Rules rules = ControlDesign.rules(interval.get()).withKeyWell(!given.has("--no-key-wells"));
            plan = Layout.plan(soils, materials, start, rules, seed);
        } catch (IllegalArgumentException wrong) {
            throw new CannotUse(String.valueOf(wrong.getMessage()));
        }
        DayFolder.writeLayout(plan, out);
        return plan;
    }

    private static void words(PrintWriter out, ControlDesign design, double accepted) {
        ControlDesign.Question question = design.question();
        out.printf(
                Locale.ROOT,
                "%,d soils a day, a lasting shift of %s standard deviations of a control.%n"
                        + "A control without a fault fails once in %,.0f (limit of one result %s).%n%n",
                question.soils(),
                short3(question.shift()),
                1 / question.falseAlarm(),
                short3(FalseAlarm.limit(FalseAlarm.ofEach(question.falseAlarm(), question.results()))));
        out.println("           controls  false alarms  wrong results released before the shift is seen");
        out.println("   one in     a day         a day  each by itself  mean of every 4  moving average");
        for (Row row : design.rows()) {
            out.printf(
                    Locale.ROOT,
                    "%9d  %8s  %12s  %14s  %15s  %14s%n",
                    row.interval(),
                    short3(row.controls()),
                    short3(row.falseAlarms()),
                    short3(row.single().released()),
                    short3(row.mean().released()),
                    short3(row.average().released()));
        }
        out.printf(Locale.ROOT, "%nTo let at most %s wrong results leave:%n", short3(accepted));
        for (Way way : Way.values()) {
            out.println("  " + words(way) + ": "
                    + design.longest(way, accepted)
                            .map(row -> "one control in " + row.interval())
                            .orElse("no interval here does"));
        }
        out.println("More than a day's soils means: not seen that day.");
    }

    private static String words(Way way) {
        return switch (way) {
            case SINGLE -> "each control by itself";
            case MEAN -> "the mean of every four";
            case AVERAGE -> "a moving average over the day";
        };
    }

    private static void json(PrintWriter out, ControlDesign design, double accepted) {
        out.println(Json.line(Json.object(
                "accepted",
                accepted,
                "advised",
                Json.object(
                        "single", advised(design, Way.SINGLE, accepted),
                        "mean", advised(design, Way.MEAN, accepted),
                        "average", advised(design, Way.AVERAGE, accepted)),
                "intervals",
                design.rows().stream()
                        .map(row -> Json.object(
                                "interval", row.interval(),
                                "controls", row.controls(),
                                "false_alarms", row.falseAlarms(),
                                "released_single", row.single().released(),
                                "released_mean", row.mean().released(),
                                "released_average", row.average().released()))
                        .toList())));
    }

    private static Optional<Integer> advised(ControlDesign design, Way way, double accepted) {
        return design.longest(way, accepted).map(row -> row.interval());
    }

    private static String short3(double number) {
        return Significant.text(number, 3);
    }
}
