package org.tenmesh.web.submissions;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.web.words.Words;

/**
 * What was read more than once under one method before it is released, so that nobody signs without seeing that something was read until it passed.
 *
 * @param says how many results, and how many of the readings that do not count were not fit
 * @param readings each reading that does not count: of which soil, by which run, what it gave, and why another one counts
 */
public record ReadAgain(String says, List<String> readings) {
    /** By method, in the order of the soils. */
    static List<ReadAgain> of(Desk desk, String submission) {
        Map<String, List<Result>> byMethod = new LinkedHashMap<>();
        for (Soil soil : desk.soilsOf(submission)) {
            desk.superseded(soil.labNumber())
                    .forEach(one -> byMethod.computeIfAbsent(one.method(), key -> new ArrayList<>())
                            .add(one));
        }
        List<ReadAgain> lines = new ArrayList<>();
        byMethod.forEach((method, results) -> {
            long soils = results.stream().map(Result::labNumber).distinct().count();
            long notFit =
                    results.stream().filter(one -> one.verdict() != Verdict.FIT).count();
            lines.add(new ReadAgain(
                    desk.methodTitle(method) + ": " + Words.of((int) soils, "soil") + " read more than once, "
                            + Words.of(results.size(), "reading") + " replaced, of which " + Words.count(notFit)
                            + (notFit == 1 ? " was" : " were") + " not fit",
                    results.stream()
                            .map(one -> one.labNumber() + " " + one.analyte() + ", run " + one.run() + ": "
                                    + (one.reported().isEmpty() ? "no number" : Words.grouped(one.reported())) + ", "
                                    + one.verdict().word() + ". " + desk.whyNot(one))
                            .toList()));
        });
        return lines;
    }
}
