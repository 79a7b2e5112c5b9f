package org.tenmesh.exchange.day;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.function.Supplier;
import java.util.stream.Collectors;
import org.tenmesh.core.judgement.AcceptedFailures;
import org.tenmesh.core.judgement.Laboratory;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.ReportForm;
import org.tenmesh.core.judgement.ReportForms;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.exchange.file.DecimalText;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.file.Spelling;
import org.tenmesh.exchange.file.TextFile;
import org.tenmesh.exchange.file.TextOut;
import org.tenmesh.exchange.yaml.Section;
import org.tenmesh.exchange.yaml.YamlText;

/** {@code laboratory.yaml} of a day folder: who, where, and the policy. Every key has a default. */
final class LaboratoryFile {
    private static final String SECOND_SIGNATURE = "second_signature_for_accepted";
    private static final String ON_REPORT = "accepted_on_report";
    private static final String REPORT = "report";
    private static final String CLIENTS = "clients";
    private static final String PAPER = "paper";
    private static final String LAYOUT = "layout";
    private static final Map<String, ReportForm.Paper> PAPERS =
            Arrays.stream(ReportForm.Paper.values()).collect(Collectors.toMap(ReportForm.Paper::word, paper -> paper));
    private static final Map<String, ReportForm.Layout> LAYOUTS = Arrays.stream(ReportForm.Layout.values())
            .collect(Collectors.toMap(ReportForm.Layout::word, layout -> layout));
    private static final String UNKNOWN_KEY = "This key is not used, the rest of the file is";

    /** Ends the name of a policy that has settings of the laboratory and no name of its own. */
    private static final String CHANGED = ", changed";

    private LaboratoryFile() {}

    /** The laboratory of a day folder; the defaults where the file is not there or cannot be taken. */
    static Laboratory read(Path folder, MethodBook methods, Limits limits, List<Problem> problems) {
        String name = DayFiles.LABORATORY;
        if (!Files.exists(folder.resolve(name))) {
            return Laboratory.unnamed();
        }
        // Asked for only where the file speaks of advice: it takes every method to know all regions.
        Supplier<Set<String>> regions = () -> {
            Set<String> known = new TreeSet<>();
            methods.ids()
                    .forEach(id -> methods.versions(id)
                            .forEach(
                                    method -> method.regionalAdvice().ifPresent(advice -> known.add(advice.region()))));
            return known;
        };
        String consequence = "Nothing of this file is taken, the defaults hold";
        return TextFile.readInside(folder, name, limits.fileBytes(), problems, consequence)
                .flatMap(text -> parse(name, text, regions, problems, consequence))
                .orElse(Laboratory.unnamed());
    }

    static Optional<Laboratory> parse(
            String file, String text, Supplier<Set<String>> known, List<Problem> problems, String consequence) {
        int before = problems.size();
        Optional<Section> read = YamlText.read(file, text, problems, consequence);
        if (read.isEmpty()) {
            return Optional.empty();
        }
        Section top = read.get();
        Laboratory otherwise = Laboratory.unnamed();
        String name = top.optionalText("name").orElse(otherwise.name());
        String zone = top.optionalText("zone").orElse(otherwise.zone());
        try {
            ZoneId.of(zone);
        } catch (DateTimeException unknown) {
            top.wrong("zone", Problem.quoted(zone), "an IANA time zone, such as Europe/Dublin");
        }
        String address = top.optionalText("address").orElse(otherwise.address()).stripTrailing();
        boolean invented = top.truth("invented", otherwise.invented());
        // A list of what stands in the laboratory; the laboratory's own, not read by the judge.
        top.allow("equipment");
        top.allow("policy");
        Optional<Section> limits = top.has("policy") ? Optional.of(top.section("policy")) : Optional.empty();
        Policy policy =
                limits.map(section -> policy(section, otherwise.policy())).orElse(otherwise.policy());
        Set<String> advice = new TreeSet<>();
        if (top.has("advice")) {
            List<String> wanted = top.texts("advice");
            Set<String> regions = wanted.isEmpty() ? Set.of() : known.get();
            for (String region : wanted) {
                if (!regions.contains(region)) {
                    top.wrong(
                            "advice",
                            Problem.quoted(region),
                            regions.isEmpty()
                                    ? "nothing: no method gives advice"
                                    : "regions with advice: " + String.join(", ", new TreeSet<>(regions)));
                }
                advice.add(region);
            }
        } else {
            top.allow("advice");
        }
        String register = top.optionalText("register").orElse(otherwise.register());
        if (!Laboratory.isRegister(register)) {
            top.wrong("register", Problem.quoted(register), "a name of 1 to 80 printable characters without /");
        }
        AcceptedFailures acceptedFailures = new AcceptedFailures(
                top.truth(SECOND_SIGNATURE, otherwise.acceptedFailures().secondSignature()),
                top.truth(ON_REPORT, otherwise.acceptedFailures().onReport()));
        top.allow(REPORT);
        List<Section> ofReport = new ArrayList<>();
        ReportForms reports = top.has(REPORT)
                ? reports(top.section(REPORT), otherwise.reports().usual(), ofReport)
                : otherwise.reports();
        boolean sound = problems.size() == before;
        // An unknown key is told and costs only itself: the rest says where and in which zone the laboratory is.
        top.nothingElse(UNKNOWN_KEY);
        ofReport.forEach(section -> section.nothingElse(UNKNOWN_KEY));
        limits.ifPresent(section -> {
            nameOfItsOwn(section, policy);
            unknownSettings(section);
        });
        return sound
                ? Optional.of(new Laboratory(
                        name, zone, address, invented, policy, advice, register, acceptedFailures, reports))
                : Optional.empty();
    }

    private static ReportForms reports(Section section, ReportForm otherwise, List<Section> read) {
        read.add(section);
        ReportForm usual = form(section, otherwise);
        Map<String, ReportForm> ofClients = new TreeMap<>();
        if (section.has(CLIENTS)) {
            Section clients = section.section(CLIENTS);
            for (String client : clients.keys()) {
                Section own = clients.section(client);
                read.add(own);
                ofClients.put(client, form(own, usual));
            }
        }
        section.allow(CLIENTS);
        return new ReportForms(usual, ofClients);
    }

    private static ReportForm form(Section section, ReportForm otherwise) {
        section.allow(PAPER);
        section.allow(LAYOUT);
        return new ReportForm(
                section.has(PAPER) ? section.choice(PAPER, PAPERS) : otherwise.paper(),
                section.has(LAYOUT) ? section.choice(LAYOUT, LAYOUTS) : otherwise.layout());
    }

    // Every setting that is not there has its default; a name or number that cannot be taken is a problem.
    private static Policy policy(Section section, Policy otherwise) {
        Optional<String> version = section.optionalText("version");
        EnumMap<Setting, List<Double>> values = new EnumMap<>(Setting.class);
        for (Setting setting : Setting.values()) {
            String key = setting.key();
            if (!section.has(key)) {
                continue;
            }
            List<Double> found = setting.kind() == Setting.Kind.LIST
                    ? section.numbers(key)
                    : section.optionalNumber(key).stream().boxed().toList();
            if (setting.allows(found)) {
                values.put(setting, found);
            } else if (!found.isEmpty() || setting.kind() == Setting.Kind.LIST) {
                section.wrong(
                        key,
                        found.isEmpty()
                                ? "no number"
                                : found.stream().map(Setting::shortest).collect(Collectors.joining(", ")),
                        setting.allowed());
            }
        }
        Optional<Policy.Disagreement> disagreement = Policy.disagreement(values);
        if (disagreement.isPresent()) {
            Policy.Disagreement what = disagreement.get();
            section.wrong(what.setting().key(), what.found(), what.expected());
            return otherwise;
        }
        Policy read = new Policy(version.orElse(otherwise.version()), values);
        // Numbers of the laboratory's own must not pass under the name of those that the program ships with.
        return !read.changes().isEmpty() && read.version().equals(Policy.SHIPPED)
                ? read.named(Policy.SHIPPED + CHANGED)
                : read;
    }

    private static void nameOfItsOwn(Section section, Policy policy) {
        if (policy.version().equals(Policy.SHIPPED + CHANGED)) {
            section.told(
                    "version",
                    section.optionalText("version").map(Problem::quoted).orElse("no version"),
                    "a name of its own for a policy with changed settings",
                    "The policy is used under the name " + policy.version());
        }
    }

    // A misspelt setting must not pass as a default: what is like it, and where all are listed.
    private static void unknownSettings(Section section) {
        List<String> keys = Arrays.stream(Setting.values()).map(Setting::key).toList();
        for (String key : section.unasked()) {
            Optional<String> closest = Spelling.closest(key, keys);
            String nearest = closest.orElseGet(() -> Spelling.nearest(key, keys));
            section.told(
                    key,
                    "an unknown setting",
                    "version or a setting listed in docs/policy.md (nearest: " + nearest
                            + Setting.named(nearest)
                                    .map(setting -> ", " + setting.allowed())
                                    .orElse("")
                            + ")",
                    UNKNOWN_KEY);
        }
    }

    static void write(Laboratory laboratory, Path path) throws IOException {
        Policy policy = laboratory.policy();
        try (TextOut out = new TextOut(path)) {
            out.raw("name: " + quoted(laboratory.name()) + "\n");
            out.raw("zone: " + quoted(laboratory.zone()) + "\n");
            out.raw("address: " + quoted(laboratory.address()) + "\n");
            out.raw("invented: " + laboratory.invented() + "\n");
            if (!laboratory.register().equals(Laboratory.OWN_REGISTER)) {
                out.raw("register: " + quoted(laboratory.register()) + "\n");
            }
            if (!laboratory.acceptedFailures().equals(AcceptedFailures.defaults())) {
                out.raw(SECOND_SIGNATURE + ": " + laboratory.acceptedFailures().secondSignature() + "\n");
                out.raw(ON_REPORT + ": " + laboratory.acceptedFailures().onReport() + "\n");
            }
            ReportForms reports = laboratory.reports();
            if (!reports.equals(ReportForms.defaults())) {
                out.raw(REPORT + ":\n" + form("  ", reports.usual()));
                if (!reports.ofClients().isEmpty()) {
                    out.raw("  " + CLIENTS + ":\n");
                    for (Map.Entry<String, ReportForm> one : new TreeMap<>(reports.ofClients()).entrySet()) {
                        out.raw("    " + quoted(one.getKey()) + ":\n" + form("      ", one.getValue()));
                    }
                }
            }
            if (!laboratory.advice().isEmpty()) {
                out.raw("advice:\n");
                for (String region : new TreeSet<>(laboratory.advice())) {
                    out.raw("  - " + quoted(region) + "\n");
                }
            }
            out.raw("policy:\n");
            out.raw("  version: " + quoted(policy.version()) + "\n");
            // Only what the laboratory has changed: everything else follows the program's defaults.
            for (Map.Entry<Setting, List<Double>> change : policy.changes().entrySet()) {
                out.raw("  " + change.getKey().key() + ": " + text(change.getKey(), change.getValue()) + "\n");
            }
            out.complete();
        }
    }

    private static String form(String before, ReportForm form) {
        return before + PAPER + ": " + form.paper().word() + "\n" + before + LAYOUT + ": "
                + form.layout().word() + "\n";
    }

    private static String text(Setting setting, List<Double> numbers) {
        String text = numbers.stream().map(DecimalText::of).collect(Collectors.joining(", "));
        return setting.kind() == Setting.Kind.LIST ? "[" + text + "]" : text;
    }

    private static String quoted(String text) {
        StringBuilder quoted = new StringBuilder("\"");
        for (int i = 0; i < text.length(); i++) {
            char c = text.charAt(i);
            switch (c) {
                case '"' -> quoted.append("\\\"");
                case '\\' -> quoted.append("\\\\");
                case '\n' -> quoted.append("\\n");
                default -> {
                    if (c < ' ' || c == 0x7f) {
                        quoted.append(String.format("\\x%02x", (int) c));
                    } else {
                        quoted.append(c);
                    }
                }
            }
        }
        return quoted.append('"').toString();
    }
}
