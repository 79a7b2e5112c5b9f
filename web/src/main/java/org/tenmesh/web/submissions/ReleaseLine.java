package org.tenmesh.web.submissions;

import java.util.List;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.release.Release;
import org.tenmesh.web.words.Words;

/** One released revision. */
public record ReleaseLine(
        String submission,
        String client,
        int revision,
        String signedBy,
        String signedAt,
        String reason,
        int left,
        int held,
        String href) {

    static List<ReleaseLine> of(Desk desk, List<Release> releases) {
        return releases.stream()
                .map(r -> {
                    int held = (int) r.results().stream()
                            .filter(x -> !x.heldBecause().isEmpty())
                            .count();
                    return new ReleaseLine(
                            r.submission(),
                            desk.submission(r.submission())
                                    .map(Submission::client)
                                    .orElse(""),
                            r.revision(),
                            r.signedBy(),
                            Words.moment(r.signedAt().toInstant(), desk.zone()),
                            r.reason(),
                            r.results().size() - held,
                            held,
                            "/reports/" + Words.part(r.submission()) + "/" + r.revision());
                })
                .toList();
    }
}
