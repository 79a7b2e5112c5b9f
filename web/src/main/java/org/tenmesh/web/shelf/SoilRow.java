package org.tenmesh.web.shelf;

import java.time.LocalDate;
import org.tenmesh.core.shelf.Kept;
import org.tenmesh.core.shelf.Stored;
import org.tenmesh.web.words.Words;

/**
 * One soil of the shelf as a line of a table.
 *
 * @param state in words, with the borrower of what is lent
 * @param kept until when it is kept, or what its time waits for
 * @param late whether it should have been back before today
 */
public record SoilRow(
        String labNumber,
        String href,
        String box,
        String place,
        boolean apart,
        String keeping,
        String state,
        String kept,
        boolean late) {
    static SoilRow of(Stored soil, int days, LocalDate today) {
        Kept kept = soil.kept(days, today);
        return new SoilRow(
                soil.labNumber().text(),
                "/shelf/soils/" + Words.part(soil.labNumber().text()),
                soil.box(),
                soil.place().orElse(""),
                soil.keeping().apart(),
                soil.keeping().phrase(),
                soil.loan()
                        .map(loan -> "lent to " + loan.to() + " until " + Words.day(loan.until()))
                        .orElse(soil.state().phrase()),
                soil.state().gone()
                        ? ""
                        : kept.from()
                                .map(from -> kept.mayGo(today)
                                        ? "may go since " + Words.day(from)
                                        : "until " + Words.day(from))
                                .orElse(kept.why()),
                soil.loan().filter(loan -> loan.overdue(today)).isPresent());
    }
}
