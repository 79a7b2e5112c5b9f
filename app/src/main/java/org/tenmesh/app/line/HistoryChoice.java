package org.tenmesh.app.line;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.tenmesh.core.causes.EarlierSoils;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.exchange.file.Limits;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.history.HistoryFolder;
import org.tenmesh.exchange.history.HistoryReading;

/** The earlier days a command judges with, if it is given any. */
public final class HistoryChoice {
    public static final Shape.Option OPTION = Shape.Option.of(
            "--history", "DIR", "earlier days, each a day folder with its judged files; see docs/day-folder.md");

    private HistoryChoice() {}

    /** Earlier days as far as they could be read; empty when none were asked for. */
    public static Optional<HistoryReading> of(Shape.Given given) {
        Optional<Path> folder =
                given.text("--history").map(typed -> GivenFolder.of(typed, "one with a folder for each earlier day"));
        return folder.map(path -> HistoryFolder.read(path, Limits.defaults()));
    }

    public static Day with(Day day, Optional<HistoryReading> history) {
        return history.map(read -> day.with(read.history())).orElse(day);
    }

    public static EarlierSoils soils(Optional<HistoryReading> history) {
        return history.map(HistoryReading::soils).orElse(EarlierSoils.NONE);
    }

    public static List<Problem> problems(Optional<HistoryReading> history) {
        return history.map(HistoryReading::problems).orElse(List.of());
    }
}
