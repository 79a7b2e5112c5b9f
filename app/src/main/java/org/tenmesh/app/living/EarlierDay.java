package org.tenmesh.app.living;

import java.time.DayOfWeek;
import java.time.LocalDate;
import java.time.LocalTime;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.derived.DerivedSoils;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.core.release.Releasing;
import org.tenmesh.simulator.Scenario;
import org.tenmesh.simulator.Simulator;
import org.tenmesh.simulator.faults.Fault;

/**
 * A day before the one that is played: read, judged and released in the evening, so that control soils have a history and shelves reports.
 *
 * @param releases of every submission that was complete and fit
 */
public record EarlierDay(Scenario scenario, Day day, List<Release> releases) {
    private static final int DAYS = 8;
    private static final int SOILS = 36;
    private static final int SEED = 4_100;
    /** What of the newest of them is still to be made again, from the shelf. */
    private static final String LEFT = "weighing-impossible@LOI1-01";

    private static final LocalTime EVENING = LocalTime.of(17, 20);

    public EarlierDay {
        releases = List.copyOf(releases);
    }

    /**
     * The last working days before a date, the oldest first.
     *
     * @param signedBy who signed their releases
     */
    public static List<EarlierDay> before(LocalDate date, MethodBook methods, String signedBy) {
        List<LocalDate> dates = dates(date);
        List<EarlierDay> days = new ArrayList<>();
        for (int i = 0; i < dates.size(); i++) {
            Scenario clean = Scenario.of(SEED + i, SOILS, dates.get(i));
            boolean newest = i == dates.size() - 1;
            days.add(of(newest ? clean.with(Fault.parse(LEFT)) : clean, methods, signedBy));
        }
        return days;
    }

    /** What the oldest of them is made by. */
    public static Scenario first(LocalDate date) {
        return Scenario.of(SEED, SOILS, dates(date).get(0));
    }

    private static List<LocalDate> dates(LocalDate date) {
        return Stream.iterate(date.minusDays(1), day -> day.minusDays(1))
                .filter(day -> day.getDayOfWeek() != DayOfWeek.SATURDAY && day.getDayOfWeek() != DayOfWeek.SUNDAY)
                .limit(DAYS)
                .sorted()
                .toList();
    }

    private static EarlierDay of(Scenario scenario, MethodBook methods, String signedBy) {
        Day day = Simulator.simulate(scenario).day();
        JudgedDay judged = DayJudge.judge(day, methods);
        Desk desk = new Desk(
                scenario.date().toString(),
                1,
                day,
                judged,
                methods,
                List.of(),
                List.of(),
                scenario.date(),
                List.of(),
                List.of(),
                new DerivedSoils());
        List<Release> releases = new ArrayList<>();
        for (Submission submission : day.submissions()) {
            String name = submission.submission();
            List<ReleasedResult> draft =
                    Releasing.draft(day, desk.soilsOf(name), desk.standing(name), desk.ruled(), methods);
            if (draft.stream().allMatch(result -> result.heldBecause().isEmpty())) {
                releases.add(new Release(
                        name,
                        1,
                        signedBy,
                        scenario.date().atTime(EVENING).atZone(desk.zone()).toOffsetDateTime(),
                        "first release",
                        draft));
            }
        }
        return new EarlierDay(scenario, day, releases);
    }
}
