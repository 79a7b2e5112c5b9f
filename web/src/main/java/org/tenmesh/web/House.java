package org.tenmesh.web;

import java.time.Clock;
import java.util.List;
import java.util.function.Function;
import java.util.stream.Stream;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.methods.MethodBook;

/** What every page is made with, and the route table. */
record House(Book book, MethodBook methods, Clock clock, ServerSettings settings, CurrentDay currentDay) {

    List<Route> routes() {
        return Stream.of(
                        SignInPages.routes(this),
                        DayPages.routes(this),
                        RunPages.routes(this),
                        SoilPages.routes(this),
                        TrayPages.routes(this),
                        MethodPages.routes(this),
                        SubmissionPages.routes(this),
                        PeoplePages.routes(this),
                        DaysPage.routes())
                .flatMap(List::stream)
                .toList();
    }

    /** A page that needs a day; says so when there is none yet. */
    static Answer withDay(Visit visit, Function<Desk, Answer> page) {
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
