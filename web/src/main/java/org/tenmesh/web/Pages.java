package org.tenmesh.web;

import java.util.List;
import java.util.stream.Stream;
import org.tenmesh.web.bench.BenchPages;
import org.tenmesh.web.capture.CapturePages;
import org.tenmesh.web.capture.HandPages;
import org.tenmesh.web.custody.RegulatedPages;
import org.tenmesh.web.equipment.LookBackPages;
import org.tenmesh.web.equipment.ThingPages;
import org.tenmesh.web.find.FindPages;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Route;
import org.tenmesh.web.intake.DockPages;
import org.tenmesh.web.intake.IntakePages;
import org.tenmesh.web.labels.LabelPages;
import org.tenmesh.web.methods.MethodPages;
import org.tenmesh.web.orders.OrderPages;
import org.tenmesh.web.people.BadgePages;
import org.tenmesh.web.people.JournalPages;
import org.tenmesh.web.people.PeoplePages;
import org.tenmesh.web.people.SignInPages;
import org.tenmesh.web.programs.ProgramPages;
import org.tenmesh.web.runs.RunPages;
import org.tenmesh.web.shelf.ShelfPages;
import org.tenmesh.web.soils.SoilPages;
import org.tenmesh.web.submissions.ReleasePages;
import org.tenmesh.web.submissions.ReportPages;
import org.tenmesh.web.submissions.SecondPersonPages;
import org.tenmesh.web.submissions.SubmissionPages;
import org.tenmesh.web.today.DayPages;
import org.tenmesh.web.today.DaysPage;
import org.tenmesh.web.trays.TrayPages;

/** The route table: every page of the laboratory. */
final class Pages {
    private Pages() {}

    static List<Route> routes(PageContext context) {
        // Where the program reads no worksheets there is no page for them.
        List<Route> intake = context.sheets().isPresent() ? IntakePages.routes(context) : List.of();
        List<Route> dock = context.sheets().isPresent() ? DockPages.routes(context) : List.of();
        return Stream.of(
                        intake,
                        dock,
                        SignInPages.routes(context),
                        DayPages.routes(context),
                        RunPages.routes(context),
                        SoilPages.routes(context),
                        FindPages.routes(context),
                        TrayPages.routes(context),
                        BenchPages.routes(context),
                        OrderPages.routes(context),
                        LabelPages.routes(context),
                        ThingPages.routes(context),
                        LookBackPages.routes(context),
                        ShelfPages.routes(context),
                        MethodPages.routes(context),
                        SubmissionPages.routes(context),
                        ReleasePages.routes(context),
                        SecondPersonPages.routes(context),
                        ReportPages.routes(context),
                        PeoplePages.routes(context),
                        BadgePages.routes(context),
                        ProgramPages.routes(context),
                        JournalPages.routes(context),
                        DaysPage.routes(context),
                        CapturePages.routes(context),
                        HandPages.routes(context),
                        RegulatedPages.routes(context))
                .flatMap(List::stream)
                .toList();
    }
}
