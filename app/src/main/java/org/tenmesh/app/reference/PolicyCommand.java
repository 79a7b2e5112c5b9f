package org.tenmesh.app.reference;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.tenmesh.app.line.Command;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.GivenFolder;
import org.tenmesh.app.line.Shape;
import org.tenmesh.app.line.Status;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.exchange.day.DayFolder;
import org.tenmesh.exchange.day.DayReading;
import org.tenmesh.exchange.file.Problem;

/** {@code tenmesh policy [FOLDER]}: the settings that decide, with their numbers and reasons. */
public final class PolicyCommand implements Command {
    @Override
    public Shape shape() {
        return new Shape(
                "policy",
                "List the settings that decide: number, unit, default, allowed range.",
                List.of(Shape.Place.optional("FOLDER", "a day folder; its policy in place of the defaults")),
                List.of(Shape.Option.of("--page", "FILE", "write the page of all settings with their reasons")),
                List.of(
                        "A laboratory changes settings in laboratory.yaml under policy: docs/policy.md.",
                        "Exit status: 0 done; 1 the folder's policy has problems; 2 no such folder."));
    }

    @Override
    public int run(Shape.Given given, Console console) throws IOException {
        PrintWriter out = console.out();
        if (given.has("--page")) {
            Path file = Path.of(given.text("--page").orElseThrow());
            Files.writeString(file, page(), StandardCharsets.UTF_8);
            out.println("Written to " + file + ": " + Setting.values().length + " settings");
            return Status.DONE;
        }
        Policy policy = Policy.defaults();
        boolean problems = false;
        if (!given.placed().isEmpty()) {
            DayReading read = DayFolder.read(GivenFolder.of(given.place(0), "a day folder"));
            policy = read.day().laboratory().policy();
            for (Problem problem : read.problems()) {
                if (problem.file().equals("laboratory.yaml")) {
                    out.println(problem.sentence());
                    problems = true;
                }
            }
        }
        out.println("Policy " + policy.version() + ", " + policy.changes().size() + " of " + Setting.values().length
                + " settings changed");
        for (Setting.Group group : Setting.Group.values()) {
            out.println();
            out.println(group.title());
            for (Setting setting : Setting.values()) {
                if (setting.group() == group) {
                    List<Double> numbers = policy.values().getOrDefault(setting, setting.byDefault());
                    boolean changed = policy.changes().containsKey(setting);
                    out.println("  " + setting.key() + ": " + text(numbers)
                            + (changed ? " (default " + text(setting.byDefault()) + ")" : "") + "; "
                            + setting.allowed());
                }
            }
        }
        return problems ? Status.HELD : Status.DONE;
    }

    /** The page of all settings, Markdown. */
    static String page() {
        StringBuilder page = new StringBuilder();
        page.append("# Policy: the settings that decide\n\n")
                .append(
                        "Written by `tenmesh policy --page docs/policy.md` from the declaration of the settings in the program.\n\n")
                .append(
                        "A laboratory changes a setting in `laboratory.yaml` of a day folder and gives its policy a name of its own:\n\n")
                .append(
                        "```yaml\npolicy:\n  version: \"2027-01-15\"\n  tray_evidence: 2\n  not_dry_water: [0.3, 0.6, 1.2]\n```\n\n")
                .append(
                        "What is not there has its default. A misspelt name or a number out of its range is a problem that names the nearest\n")
                .append(
                        "setting and the allowed range. `summary.json` names the version and every setting that differs from its default.\n")
                .append("`tenmesh policy FOLDER` lists the settings of a day folder.\n\n")
                .append(
                        "\"No source was found\" in a reason says that the number is this program's choice. Evidence is a likelihood ratio: how\n")
                .append(
                        "many times better one explanation fits the data than another; log10 of 1,000 : 1 is 3. Numbers that a numerical method\n")
                .append("needs and that decide nothing (rounds, steps, convergence) are no settings.\n");
        for (Setting.Group group : Setting.Group.values()) {
            page.append("\n## ").append(group.title()).append("\n\n");
            page.append(
                    "| setting | default | unit | from | to | what it decides, and why |\n|---|---|---|---|---|---|\n");
            for (Setting setting : Setting.values()) {
                if (setting.group() == group) {
                    page.append("| `")
                            .append(setting.key())
                            .append("` | ")
                            .append(text(setting.byDefault()))
                            .append(" | ")
                            .append(setting.unit())
                            .append(setting.kind() == Setting.Kind.WHOLE ? ", whole number" : "")
                            .append(" | ")
                            .append(Setting.shortest(setting.least()))
                            .append(" | ")
                            .append(Setting.shortest(setting.most()))
                            .append(" | ")
                            .append(setting.reason())
                            .append(". |\n");
                }
            }
        }
        return page.toString();
    }

    private static String text(List<Double> numbers) {
        String text = String.join(", ", numbers.stream().map(Setting::shortest).toList());
        return numbers.size() == 1 ? text : "[" + text + "]";
    }
}
