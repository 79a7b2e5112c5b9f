package org.tenmesh.app;

import java.util.List;
import java.util.Map;
import org.tenmesh.app.check.Check;
import org.tenmesh.app.check.CheckReport;
import org.tenmesh.app.check.Checks;
import org.tenmesh.exchange.json.Json;

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
                    .println(Json.line(Json.object(
                            "checks",
                            report.checks().stream().map(CheckCommand::json).toList(),
                            "sources",
                            report.works().size(),
                            "failed",
                            report.failed().size())));
        } else {
            console.out().print(report.text());
        }
        return report.passed() ? Status.DONE : Status.HELD;
    }

    private static Map<String, Object> json(Check check) {
        return Json.object(
                "check",
                check.id(),
                "area",
                check.area(),
                "question",
                check.question(),
                "source",
                check.source(),
                "standing",
                check.standing().word(),
                "expected",
                check.expected(),
                "got",
                check.got(),
                "tolerance",
                check.tolerance(),
                "passed",
                check.passed());
    }
}
