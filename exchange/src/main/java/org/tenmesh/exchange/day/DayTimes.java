package org.tenmesh.exchange.day;

import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.exchange.file.Problem;

/** The times of a day against each other: runs of one day, soils that came before they were read, promises that lie ahead. */
final class DayTimes {
    private static final String AS_WRITTEN = "It is taken as written";

    private final Day day;
    private final LocalDate date;
    private final List<Problem> notes;

    DayTimes(Day day, List<Problem> notes) {
        this.day = day;
        this.date = day.date();
        this.notes = notes;
    }

    void tell() {
        runs();
        submissions();
    }

    private void runs() {
        double most = day.laboratory().policy().number(Setting.POSSIBLE_RUN_DAYS_APART);
        for (Run run : day.runs()) {
            long apart = Math.abs(ChronoUnit.DAYS.between(date, day.dateOf(run)));
            if (apart > most) {
                notes.add(new Problem(
                        DayFiles.RUNS,
                        0,
                        "started_at",
                        "run " + run.run() + " of " + day.dateOf(run) + ", " + apart + " days from the day " + date,
                        "a start within " + Setting.shortest(most) + " days of the other runs",
                        AS_WRITTEN));
            }
        }
    }

    private void submissions() {
        double most = day.laboratory().policy().number(Setting.POSSIBLE_DAYS_APART);
        ZoneId zone = ZoneId.of(day.laboratory().zone());
        Map<String, OffsetDateTime> firstRead = firstRead();
        List<String> after = new ArrayList<>();
        List<String> promised = new ArrayList<>();
        List<String> far = new ArrayList<>();
        for (Submission one : day.submissions()) {
            LocalDate received = one.receivedAt().atZoneSameInstant(zone).toLocalDate();
            OffsetDateTime read = firstRead.get(one.submission());
            if (read != null && one.receivedAt().isAfter(read)) {
                after.add(one.submission());
            }
            if (one.promisedOn().isPresent() && one.promisedOn().get().isBefore(received)) {
                promised.add(one.submission());
            }
            long since = Math.abs(ChronoUnit.DAYS.between(received, date));
            long until = one.promisedOn()
                    .map(on -> Math.abs(ChronoUnit.DAYS.between(date, on)))
                    .orElse(0L);
            if (!day.runs().isEmpty() && Math.max(since, until) > most) {
                far.add(one.submission());
            }
        }
        note("received_at", after, " received after a soil of it was read", "a time before its soils were read");
        note("promised_on", promised, " promised for a day before it was received", "a date not before received_at");
        note(
                "received_at",
                far,
                " received or promised more than " + Setting.shortest(most) + " days from the day " + date,
                "dates nearer to the day");
    }

    private void note(String column, List<String> which, String found, String expected) {
        if (!which.isEmpty()) {
            notes.add(new Problem(DayFiles.SUBMISSIONS, 0, column, Problem.some(which) + found, expected, AS_WRITTEN));
        }
    }

    private Map<String, OffsetDateTime> firstRead() {
        Map<String, String> submissionOf = new HashMap<>();
        for (Soil soil : day.soils()) {
            soil.submission().ifPresent(its -> submissionOf.put(soil.labNumber().text(), its));
        }
        Map<String, OffsetDateTime> first = new HashMap<>();
        for (Run run : day.runs()) {
            Readings readings = run.readings();
            int last = -1;
            for (int i = 0; i < readings.size(); i++) {
                if (readings.identityCode(i) == last || readings.role(i) != Role.SAMPLE) {
                    continue;
                }
                last = readings.identityCode(i);
                String submission = submissionOf.get(readings.identity(i));
                if (submission != null) {
                    OffsetDateTime at = readings.at(i);
                    first.merge(submission, at, (one, other) -> other.isBefore(one) ? other : one);
                }
            }
        }
        return first;
    }
}
