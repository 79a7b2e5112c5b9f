package org.tenmesh.app.laboratory;

import java.time.OffsetDateTime;
import java.util.List;
import java.util.Optional;
import org.tenmesh.core.causes.DayJudge;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.derived.DerivedSoils;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.release.Release;
import org.tenmesh.core.release.Releasing;
import org.tenmesh.store.Store;

/** The first release of a submission of a day as the laboratory makes it: judged, every result that stands. */
final class FirstRelease {
    private FirstRelease() {}

    static Release of(Store store, String day, String submission, MethodBook methods, String signer) {
        Day kept = store.quality().dayWithControls(day).orElseThrow();
        JudgedDay judged = DayJudge.judge(kept, methods);
        Desk desk = new Desk(
                day,
                0,
                kept,
                judged,
                methods,
                List.of(),
                List.of(),
                kept.date(),
                List.of(),
                List.of(),
                new DerivedSoils());
        List<Soil> soils = kept.soils().stream()
                .filter(soil -> soil.submission().equals(Optional.of(submission)))
                .toList();
        return new Release(
                submission,
                1,
                signer,
                OffsetDateTime.parse("2026-11-25T17:05:00+01:00"),
                "first release",
                Releasing.draft(
                        kept,
                        soils,
                        soils.stream()
                                .flatMap(soil -> desk.standing(soil.labNumber()).stream())
                                .toList(),
                        judged,
                        methods));
    }
}
