package org.tenmesh.app;

import java.util.List;
import org.tenmesh.app.check.Check;
import org.tenmesh.app.check.CheckReport;
import org.tenmesh.app.check.Checks;

/** {@code tenmesh check}: the published worked examples, run again. */
final class CheckCommand implements Command {
    @Override
    public Shape shape() {
        return new Shape(
                "check",
                "Run every published worked example again; show source, expected and got.",
                List.of(),
                List.of(Shape.Option.flag("--json", "print the checks as JSON")),
                List.of("Exit status: 0 all agree; 1 one or more do not."));
    }

    @Override
    public int run(Shape.Given given, Console console) {
        CheckReport report = Checks.run();
        if (given.has("--json")) {
            console.out()
                    .println(JsonText.object(
                            "checks",
                            JsonText.list(report.checks().stream()
                                    .map(CheckCommand::json)
                                    .toList()),
                            "sources",
                            String.valueOf(report.works().size()),
                            "failed",
                            String.valueOf(report.failed().size())));
        } else {
            console.out().print(report.text());
        }
        return report.passed() ? Status.DONE : Status.HELD;
    }

    private static String json(Check check) {
        return JsonText.object(
                "check",
                JsonText.of(check.id()),
                "area",
                JsonText.of(check.area()),
                "question",
                JsonText.of(check.question()),
                "source",
                JsonText.of(check.source()),
                "standing",
                JsonText.of(check.standing().word()),
                "expected",
                JsonText.of(check.expected()),
                "got",
                JsonText.of(check.got()),
                "tolerance",
                JsonText.of(check.tolerance()),
                "passed",
                String.valueOf(check.passed()));
    }
}
