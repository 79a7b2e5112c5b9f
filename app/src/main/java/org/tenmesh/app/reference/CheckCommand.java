package org.tenmesh.app.reference;

import java.util.List;
import java.util.Map;
import org.tenmesh.app.check.Check;
import org.tenmesh.app.check.CheckReport;
import org.tenmesh.app.check.Checks;
import org.tenmesh.app.check.Unproved;
import org.tenmesh.app.line.Command;
import org.tenmesh.app.line.Console;
import org.tenmesh.app.line.Shape;
import org.tenmesh.app.line.Status;
import org.tenmesh.exchange.json.Json;

/** {@code tenmesh check}: the published worked examples, run again. */
public final class CheckCommand implements Command {
    @Override
    public Shape shape() {
        return new Shape(
                "check",
                "Run every published check again; show source, expected and got, and how much they prove.",
                List.of(),
                List.of(Shape.Option.flag("--json", "print the checks as JSON")),
                List.of("Exit status: 0 all agree; 1 one or more do not."));
    }

    @Override
    public int run(Shape.Given given, Console console) {
        CheckReport report = Checks.run();
        if (given.has("--json")) {
            console.out().println(Json.line(json(report)));
        } else {
            console.out().print(report.text());
        }
        return report.passed() ? Status.DONE : Status.HELD;
    }

    private static Map<String, Object> json(CheckReport report) {
        Unproved unproved = report.unproved();
        return Json.object(
                "checks",
                report.checks().stream().map(CheckCommand::json).toList(),
                "groups",
                report.sums().entrySet().stream()
                        .map(group -> Json.object(
                                "group",
                                group.getKey(),
                                "rows",
                                group.getValue().rows(),
                                "proofs",
                                group.getValue().proofs()))
                        .toList(),
                "proofs",
                report.proofs().size(),
                "sources",
                report.sources().size(),
                "kinds_without_proof",
                unproved.kinds(),
                "derived_without_proof",
                unproved.derived(),
                "derived_with_own_table_only",
                unproved.tables(),
                "measured_by_kind_only",
                unproved.measured(),
                "failed",
                report.failed().size());
    }

    private static Map<String, Object> json(Check check) {
        return Json.object(
                "check",
                check.id(),
                "proof",
                check.proof().id(),
                "group",
                check.proof().group(),
                "asked",
                check.asked(),
                "source",
                check.source(),
                "standing",
                check.proof().standing().word(),
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
