package org.tenmesh.app.days;

import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.app.line.CannotUse;
import org.tenmesh.app.line.Command;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.Nearest;
import org.tenmesh.app.line.Shape;
import org.tenmesh.app.line.Status;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.file.UnusableFile;
import org.tenmesh.exchange.json.Json;
import org.tenmesh.exchange.readers.InstrumentReader;

/** {@code tenmesh read READER FILE}: what a reader would take from an instrument's export; stores nothing. */
public final class ReadCommand implements Command {
    private static final int MOST_SHOWN = 20;

    @Override
    public Shape shape() {
        return new Shape(
                "read",
                "Show what a reader takes from an instrument's export; store nothing.",
                List.of(
                        new Shape.Place("READER", "a reader's YAML file, or one that ships: " + shipped()),
                        new Shape.Place("FILE", "the instrument's export; the reader comes before it")),
                List.of(
                        Shape.Option.flag("--all", "show every reading, not the first " + MOST_SHOWN),
                        Shape.Option.flag("--json", "print everything as JSON")),
                List.of("Readers that ship are all for made-up exports."));
    }

    @Override
    public int run(Shape.Given given, Console console) {
        InstrumentReader reader = reader(given.place(0));
        Path export = Path.of(given.place(1));
        if (!Files.exists(export)) {
            throw new CannotUse("there is no file " + export + "; expected an instrument's export");
        }
        if (Files.isDirectory(export)) {
            throw new CannotUse(export + " is a folder; expected one instrument's export");
        }
        InstrumentReader.Taken taken = reader.read(export);
        if (given.has("--json")) {
            json(console.out(), reader, taken);
        } else {
            words(console.out(), reader, taken, given.has("--all"));
            if (taken.readings().size() == 0) {
                others(reader, export)
                        .ifPresent(
                                others -> console.out().println("\nOf the readers that ship it is read by " + others));
            }
        }
        return taken.whole() ? Status.DONE : Status.UNUSABLE;
    }

    private static String shipped() {
        return String.join(", ", InstrumentReader.shipped().keySet());
    }

    /** Readers that ship and take the whole export; empty when none does. */
    private static Optional<String> others(InstrumentReader tried, Path export) {
        List<String> reading = InstrumentReader.shipped().entrySet().stream()
                .filter(other -> !other.getKey().equals(tried.name()))
                .filter(other -> {
                    InstrumentReader.Taken taken = other.getValue().read(export);
                    return taken.whole() && taken.readings().size() > 0;
                })
                .map(Map.Entry::getKey)
                .toList();
        return reading.isEmpty() ? Optional.empty() : Optional.of(String.join(", ", reading));
    }

    private static InstrumentReader reader(String named) {
        InstrumentReader shipped = InstrumentReader.shipped().get(named);
        if (shipped != null) {
            return shipped;
        }
        if (!Files.exists(Path.of(named))) {
            throw new CannotUse("there is no reader file \"" + named + "\", and none of that name ships"
                    + Nearest.perhaps(named, InstrumentReader.shipped().keySet()) + "; those that ship: " + shipped());
        }
        try {
            return InstrumentReader.load(Path.of(named));
        } catch (UnusableFile wrong) {
            throw new CannotUse(String.valueOf(wrong.getMessage()));
        }
    }

    private static void words(PrintWriter out, InstrumentReader reader, InstrumentReader.Taken taken, boolean all) {
        Readings readings = taken.readings();
        out.printf("%s (%s)%n", reader.title(), reader.name());
        taken.header().forEach((name, value) -> out.printf("  %s: %s%n", name, value));
        out.printf(Locale.ROOT, "%,d readings%n", readings.size());
        int shown = all ? readings.size() : Math.min(MOST_SHOWN, readings.size());
        if (shown > 0) {
            out.printf(
                    "%8s  %-12s  %-16s  %-7s  %-12s  %16s  %-6s  %s%n",
                    "position", "role", "identity", "channel", "quantity", "value", "unit", "at");
        }
        for (int i = 0; i < shown; i++) {
            out.printf(
                    Locale.ROOT,
                    "%8d  %-12s  %-16s  %-7s  %-12s  %16s  %-6s  %s%s%n",
                    readings.position(i),
                    readings.role(i).word(),
                    readings.identity(i),
                    readings.channel(i),
                    readings.quantity(i),
                    readings.value(i),
                    readings.unit(i).ucum(),
                    readings.at(i),
                    readings.dilution(i) == 1 ? "" : "  diluted " + readings.dilution(i));
        }
        if (shown < readings.size()) {
            out.printf(Locale.ROOT, "and %,d more; --all shows them%n", readings.size() - shown);
        }
        if (!taken.problems().isEmpty()) {
            out.printf(
                    Locale.ROOT,
                    "%nThis export would not be taken: %,d problem%s%n",
                    taken.problems().size(),
                    taken.problems().size() == 1 ? "" : "s");
            taken.problems().stream().limit(MOST_SHOWN).forEach(problem -> out.println("  " + problem.sentence()));
        }
        notes(out, taken);
    }

    private static void notes(PrintWriter out, InstrumentReader.Taken taken) {
        if (!taken.notes().isEmpty()) {
            out.printf(Locale.ROOT, "%nNotes: %,d%n", taken.notes().size());
            taken.notes().stream().limit(MOST_SHOWN).forEach(note -> out.println("  " + note.sentence()));
        }
    }

    private static void json(PrintWriter out, InstrumentReader reader, InstrumentReader.Taken taken) {
        Readings readings = taken.readings();
        List<Map<String, Object>> rows = new ArrayList<>();
        for (int i = 0; i < readings.size(); i++) {
            rows.add(Json.object(
                    "position",
                    readings.position(i),
                    "role",
                    readings.role(i).word(),
                    "identity",
                    readings.identity(i),
                    "channel",
                    readings.channel(i),
                    "quantity",
                    readings.quantity(i),
                    "value",
                    readings.value(i),
                    "unit",
                    readings.unit(i).ucum(),
                    "at",
                    readings.at(i).toString(),
                    "dilution",
                    readings.dilution(i)));
        }
        out.println(Json.line(Json.object(
                "reader",
                reader.name(),
                "header",
                taken.header(),
                "readings",
                rows,
                "problems",
                taken.problems().stream().map(Problem::sentence).toList(),
                "notes",
                taken.notes().stream().map(Problem::sentence).toList())));
    }
}
