package org.tenmesh.web.http;

import java.time.Clock;
import java.time.Duration;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import java.util.function.Function;
import org.tenmesh.capture.Capture;
import org.tenmesh.capture.settings.Source;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.web.cards.SilentRecorder;
import org.tenmesh.web.days.CurrentDay;
import org.tenmesh.web.days.LaboratoryStore;
import org.tenmesh.web.days.SheetReader;

/**
 * What every page is made with.
 *
 * @param methods all versions, as the judge uses them
 * @param sessionLasts how long somebody who signed in stays signed in
 * @param benchLocksAfter after how long without use a sign-in by badge locks
 * @param visitorsMayBe names of people as whom anybody may sign in without a password; empty but for a demonstration
 * @param sheets reads clients' worksheets; empty where the program takes none
 * @param capture the sources that readings come from; empty where the program has none
 */
public record PageContext(
        LaboratoryStore store,
        MethodBook methods,
        Clock clock,
        Duration sessionLasts,
        Duration benchLocksAfter,
        CurrentDay currentDay,
        List<String> visitorsMayBe,
        Optional<Capture> capture,
        Optional<SheetReader> sheets) {
    /** Devices whose temperatures a source records. */
    public List<String> recorded() {
        return capture.stream()
                .flatMap(its -> its.recorders().stream())
                .map(Source::instrument)
                .distinct()
                .toList();
    }

    /** Charges under way whose recorder sends nothing any more, now. */
    public List<SilentRecorder> silentRecorders(ZoneId zone) {
        List<String> recorded = recorded();
        return recorded.isEmpty()
                ? List.of()
                : SilentRecorder.of(store.custody().chargesUnderWay(), recorded, clock.instant(), zone);
    }

    /** A page that needs a day; says so when there is none yet. */
    public static Answer withDay(Visit visit, Function<Desk, Answer> page) {
        return visit.desk()
                .map(page)
                .orElseGet(() -> Answer.refused(
                        200,
                        visit.notJudged().isEmpty() ? "No day yet" : "No day that could be judged",
                        visit.notJudged().isEmpty()
                                ? "Nothing has been imported yet. Start the program with a day folder (tenmesh serve --take DAY), "
                                        + "then this page fills."
                                : "This page fills as soon as a day can be judged."));
    }
}
