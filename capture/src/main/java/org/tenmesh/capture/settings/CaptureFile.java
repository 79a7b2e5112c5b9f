package org.tenmesh.capture.settings;

import java.io.IOException;
import java.net.InetAddress;
import java.net.UnknownHostException;
import java.nio.file.FileSystems;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.Duration;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Predicate;
import java.util.regex.Pattern;
import java.util.regex.PatternSyntaxException;
import org.tenmesh.capture.pieces.Piece;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.file.TextFile;
import org.tenmesh.exchange.file.UnusableFile;
import org.tenmesh.exchange.readers.InstrumentReader;
import org.tenmesh.exchange.yaml.Section;
import org.tenmesh.exchange.yaml.YamlText;

/** Reads {@code capture.yaml}. What is wrong with one source costs that source only. */
public final class CaptureFile {
    private static final String FILE = "capture.yaml";
    private static final String WHOLE = "No source of this file is used";
    private static final String ONE = "This source is not used; the others are";
    private static final List<String> KINDS = List.of("folder", "lines", "frames", "http", "hand");
    private static final Pattern NAME = Pattern.compile("[A-Za-z0-9][A-Za-z0-9._-]{0,39}");

    private final Path base;
    private final Predicate<String> isMethod;
    private final Map<String, InstrumentReader> readers = new LinkedHashMap<>(InstrumentReader.shipped());

    private final List<SettingsFile> files = new ArrayList<>();
    private final Map<String, String> readerBytes = new HashMap<>();

    private CaptureFile(SettingsFile file, Path base, Predicate<String> isMethod) {
        files.add(file);
        this.base = base;
        this.isMethod = isMethod;
    }

    /**
     * Reads the file. Never throws for what is in it.
     *
     * @param file paths in it begin at its folder
     * @param isMethod whether there is a method of this id
     */
    public static CaptureSettings read(Path file, Predicate<String> isMethod) {
        List<Problem> problems = new ArrayList<>();
        Path folder = file.toAbsolutePath().normalize().getParent();
        SettingsFile now = SettingsFile.now(file);
        return TextFile.read(file, FILE, 1_000_000, problems, WHOLE)
                .flatMap(text -> YamlText.read(FILE, text, problems, ONE))
                .map(top -> new CaptureFile(now, folder == null ? file : folder, isMethod).settings(top, problems))
                .orElseGet(() -> new CaptureSettings(
                        List.of(),
                        Optional.empty(),
                        CaptureSettings.NONE.freeMegabytes(),
                        problems,
                        List.of(now),
                        Map.of()));
    }

    private CaptureSettings settings(Section top, List<Problem> problems) {
        List<Source> sources = new ArrayList<>();
        Map<String, String> texts = new HashMap<>();
        Set<String> names = new HashSet<>();
        int free = top.whole("free_megabytes", 1, 100_000_000, (int) CaptureSettings.NONE.freeMegabytes());
        Optional<ZoneId> zone = top.optionalText("zone").flatMap(text -> zone(top, text));
        List<Section> sections = top.sections("sources");
        top.nothingElse("Nothing of it is used");
        for (Section section : sections) {
            int before = problems.size();
            if (!KINDS.contains(section.optionalText("kind").orElse(""))) {
                section.wrong(
                        "kind",
                        section.optionalText("kind").map(Problem::quoted).orElse("nothing"),
                        "one of " + String.join(", ", KINDS));
                continue;
            }
            Source source = source(section);
            if (!names.add(source.name())) {
                section.wrong("name", "the name " + Problem.quoted(source.name()) + " twice", "each source once");
            }
            section.nothingElse();
            if (problems.size() == before) {
                sources.add(source);
                texts.put(
                        source.name(),
                        zone.map(ZoneId::getId).orElse("")
                                + section.content()
                                + section.optionalText("reader")
                                        .map(named -> readerBytes.getOrDefault(named, ""))
                                        .orElse(""));
            }
        }
        return new CaptureSettings(sources, zone, free, problems, files, texts);
    }

    private static Optional<ZoneId> zone(Section top, String text) {
        try {
            return Optional.of(ZoneId.of(text));
        } catch (DateTimeException unknown) {
            top.told(
                    "zone",
                    Problem.quoted(text),
                    "an IANA time zone, such as Europe/Dublin",
                    "This machine's zone is used");
            return Optional.empty();
        }
    }

    private Source source(Section from) {
        String name = from.text("name");
        if (!name.equals("?") && !NAME.matcher(name).matches()) {
            from.wrong("name", Problem.quoted(name), "up to 40 letters, digits, points, hyphens and low lines");
        }
        String kind = from.text("kind");
        if (from.has("recorder_of")) {
            return recorder(from, name, kind);
        }
        String method = from.text("method");
        if (!method.equals("?") && !isMethod.test(method)) {
            from.wrong("method", Problem.quoted(method), "the id of a method that the program knows");
        }
        Optional<InstrumentReader> reader = kind.equals("hand") ? Optional.empty() : reader(from, kind);
        Source.Way way = switch (kind) {
            case "lines" -> lines(from);
            case "frames" -> new Source.Frames(link(from));
            case "http" -> http(from);
            case "hand" -> hand(from);
            default -> folder(from);
        };
        return new Source(
                name,
                false,
                from.text("instrument"),
                method,
                from.optionalText("operator"),
                reader,
                way,
                runs(from, kind, reader),
                seconds(from, "expect_seconds", 600),
                seconds(from, "clock_seconds", 120),
                from.whole("queue", 1, 100_000, 1_000));
    }

    private Source recorder(Section from, String name, String kind) {
        boolean lines = kind.equals("lines");
        if (!lines && !kind.equals("folder")) {
            from.wrong("kind", Problem.quoted(kind), "lines or folder, for the recorder of a device");
        }
        return new Source(
                name,
                true,
                from.text("recorder_of"),
                "",
                Optional.empty(),
                Optional.empty(),
                lines ? lines(from) : folder(from),
                new Source.Runs(
                        "",
                        Source.Order.NONE,
                        Optional.empty(),
                        Optional.empty(),
                        Duration.ZERO,
                        !lines && from.truth("open_end", false)),
                seconds(from, "expect_seconds", 600),
                seconds(from, "clock_seconds", 120),
                from.whole("queue", 1, 100_000, 1_000));
    }

    private static Duration seconds(Section from, String key, int usual) {
        return Duration.ofSeconds(from.whole(key, 0, 1_000_000, usual));
    }

    private Optional<InstrumentReader> reader(Section from, String kind) {
        String named = from.text("reader");
        if (named.equals("?")) {
            return Optional.empty();
        }
        InstrumentReader reader = readers.get(named);
        if (reader == null) {
            try {
                Path file = base.resolve(named);
                files.add(SettingsFile.now(file));
                // Before it is read: what is written meanwhile counts as a change the next time.
                readerBytes.put(named, digest(file));
                reader = InstrumentReader.load(file);
                readers.put(named, reader);
            } catch (UnusableFile wrong) {
                Problem first = wrong.problems().get(0);
                from.wrong(
                        "reader",
                        first.sentence(),
                        "a reader's file, or one of those that ship: "
                                + String.join(", ", InstrumentReader.shipped().keySet()));
                return Optional.empty();
            } catch (InvalidPathException noPath) {
                from.wrong("reader", Problem.quoted(named), "the path of a reader's file");
                return Optional.empty();
            }
        }
        if (kind.equals("lines") && !reader.readsSingleLines()) {
            from.wrong(
                    "reader",
                    Problem.quoted(named),
                    "a reader of form lines or fixed that needs nothing but the line: no header, starts_after, ends_before,"
                            + " skip_rows or announced_rows");
        }
        if (kind.equals("frames") != reader.readsRecords()) {
            from.wrong(
                    "reader",
                    Problem.quoted(named),
                    kind.equals("frames") ? "a reader of form records" : "a reader of another form than records");
        }
        return Optional.of(reader);
    }

    private static String digest(Path file) {
        try {
            return Piece.sha256(Files.readAllBytes(file));
        } catch (IOException unreadable) {
            return "";
        }
    }

    private Source.Folder folder(Section from) {
        Path folder = base;
        String named = from.text("folder");
        try {
            folder = base.resolve(named).normalize();
        } catch (InvalidPathException noPath) {
            from.wrong("folder", Problem.quoted(named), "the path of a folder");
        }
        String files = from.optionalText("files").orElse("*");
        try {
            FileSystems.getDefault().getPathMatcher("glob:" + files);
        } catch (IllegalArgumentException broken) {
            from.wrong("files", Problem.quoted(files), "a pattern of names, such as *.csv");
            files = "*";
        }
        return new Source.Folder(
                folder,
                files,
                seconds(from, "quiet_seconds", 5),
                Duration.ofSeconds(from.whole("look_seconds", 1, 86_400, 10)),
                from.has("taken") ? from.choice("taken", Map.of("move", true, "leave", false)) : true,
                1_000_000L * from.whole("most_megabytes", 1, 1_000, 100));
    }

    private Source.Lines lines(Section from) {
        Map<String, String> endings = Map.of("lf", "\n", "crlf", "\r\n", "cr", "\r");
        return new Source.Lines(
                link(from),
                from.has("line_end") ? from.choice("line_end", endings) : "\n",
                seconds(from, "idle_seconds", 0),
                from.whole("most_bytes", 1, 1_000_000, 4_096),
                from.optionalText("reply"));
    }

    private static Source.Link link(Section from) {
        int given = (from.has("connect") ? 1 : 0) + (from.has("listen") ? 1 : 0) + (from.has("port") ? 1 : 0);
        if (given != 1) {
            from.missing("connect", "one of connect (HOST:PORT), listen (ADDRESS:PORT) and port (a serial port)");
            from.allow("connect");
            from.allow("listen");
            from.allow("port");
            return new Source.Connect("?", 1);
        }
        if (from.has("port")) {
            return new Source.Port(
                    from.text("port"),
                    from.whole("baud", 50, 4_000_000, 9_600),
                    from.whole("data_bits", 5, 8, 8),
                    from.has("parity")
                            ? from.choice(
                                    "parity",
                                    Map.of(
                                            "none", Source.Parity.NONE,
                                            "even", Source.Parity.EVEN,
                                            "odd", Source.Parity.ODD))
                            : Source.Parity.NONE,
                    from.whole("stop_bits", 1, 2, 1));
        }
        String key = from.has("connect") ? "connect" : "listen";
        String place = from.text(key);
        int colon = place.lastIndexOf(':');
        int port = -1;
        try {
            port = Integer.parseInt(place.substring(colon + 1));
        } catch (NumberFormatException notWhole) {
            // told below
        }
        String host = colon < 0 ? "" : place.substring(0, colon);
        if (host.isEmpty() || port < (key.equals("listen") ? 0 : 1) || port > 65_535) {
            from.wrong(key, Problem.quoted(place), "an address and a port, such as 192.168.7.20:4001");
            return new Source.Connect("?", 1);
        }
        if (key.equals("connect")) {
            return new Source.Connect(host, port);
        }
        try {
            InetAddress.getByName(host);
        } catch (UnknownHostException unknown) {
            from.wrong(key, Problem.quoted(place), "an address of this machine, or 0.0.0.0 for all of them");
        }
        return new Source.Listen(host, port);
    }

    private static Source.Http http(Section from) {
        Optional<String> token = from.optionalText("token_sha256");
        if (token.filter(text -> !text.matches("[0-9a-f]{64}")).isPresent()) {
            from.wrong(
                    "token_sha256",
                    "a text of " + token.get().length() + " characters",
                    "the 64 hexadecimal digits of the SHA-256 of the token");
        }
        return new Source.Http(token, 1_000 * from.whole("most_kilobytes", 1, 50_000, 1_000));
    }

    private static Source.Hand hand(Section from) {
        List<Source.Asked> asked = new ArrayList<>();
        for (Section one : from.sections("asked")) {
            String unit = one.text("unit");
            Optional<Unit> known = Unit.ofUcum(unit);
            if (known.isEmpty() && !unit.equals("?")) {
                one.wrong("unit", Problem.quoted(unit), "a UCUM code, such as g, mL, Cel");
            }
            asked.add(new Source.Asked(one.text("quantity"), known.orElse(Unit.GRAM)));
            one.nothingElse();
        }
        if (asked.isEmpty()) {
            from.missing("asked", "what is typed at each position: quantity and unit");
        }
        return new Source.Hand(asked, from.truth("twice", false));
    }

    private static Source.Runs runs(Section from, String kind, Optional<InstrumentReader> reader) {
        boolean file = kind.equals("folder") || kind.equals("http");
        Source.Order order = from.has("order")
                ? from.choice(
                        "order",
                        Map.of(
                                "planned", Source.Order.PLANNED,
                                "required", Source.Order.REQUIRED,
                                "none", Source.Order.NONE))
                : Source.Order.PLANNED;
        if (reader.filter(InstrumentReader::needsOrder).isPresent()) {
            if (order == Source.Order.NONE) {
                from.wrong(
                        "order", "none", "planned or required: the reader takes what is at a position from the order");
            }
            order = Source.Order.REQUIRED;
        }
        return new Source.Runs(
                from.optionalText("run").orElse(file ? "{file}" : "{source}-{date}-{number}"),
                order,
                file ? Optional.empty() : pattern(from, "begins"),
                file ? Optional.empty() : pattern(from, "ends"),
                seconds(from, "silence_seconds", 0),
                file && from.truth("open_end", false));
    }

    private static Optional<Pattern> pattern(Section from, String key) {
        return from.optionalText(key).flatMap(text -> {
            try {
                return Optional.of(Pattern.compile(text));
            } catch (PatternSyntaxException broken) {
                from.wrong(key, Problem.quoted(text), "a regular expression: " + broken.getDescription());
                return Optional.empty();
            }
        });
    }
}
