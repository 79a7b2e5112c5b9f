package org.tenmesh.web.submissions;

import java.time.LocalDate;
import java.util.function.UnaryOperator;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.Promise;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.web.words.Words;

/** One submission in a list. */
public record SubmissionLine(
        String submission,
        String href,
        String client,
        int soils,
        String due,
        String dueWord,
        String standing,
        String word,
        String releaseHref) {

    static SubmissionLine of(Desk desk, Promise promise) {
        return of(desk.today(), promise, path -> path);
    }

    static SubmissionLine of(LocalDate today, Promise promise, UnaryOperator<String> address) {
        Submission submission = promise.submission();
        boolean late = promise.lateOn(today);
        return new SubmissionLine(
                submission.submission(),
                address.apply("/submissions/" + Words.part(submission.submission())),
                submission.client(),
                promise.soils(),
                submission.promisedOn().map(Words::day).orElse("not promised"),
                late ? "late" : promise.dueOn(today) ? "today" : "",
                Words.standing(promise),
                promise.redo() > 0 ? "redo" : promise.hold() > 0 ? "hold" : "",
                address.apply("/release/" + Words.part(submission.submission())));
    }
}
