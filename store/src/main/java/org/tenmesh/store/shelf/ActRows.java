package org.tenmesh.store.shelf;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.statement.PreparedBatch;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.shelf.ShelfAct;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Json;
import org.tenmesh.store.rows.Refused;

/** Acts as rows: how they are written with their entry in the journal, and the digest by which that vouches for them. */
public final class ActRows {
    /** What the journal calls them. */
    public static final String ENTRY = "shelf-acts";

    private ActRows() {}

    /**
     * Writes acts that were done together, with one entry in the journal.
     *
     * @param soils ids of the soils that acts are about
     */
    static void write(Handle handle, Journal journal, List<ShelfAct> acts, Map<LabNumber, Integer> soils) {
        ShelfAct first = acts.get(0);
        long batch = handle.createQuery("select nextval('shelf.batch')")
                .mapTo(Long.class)
                .one();
        PreparedBatch rows = handle.prepareBatch("""
                insert into shelf.act (batch, what, soil, about, to_what, until_on, regulated, reason, person, at)
                values (:batch, :what, :soil, :about, :to, :until, :regulated, :reason, :person, :at)
                """);
        StringBuilder text = new StringBuilder();
        for (ShelfAct act : acts) {
            rows.bind("batch", batch)
                    .bind("what", act.what().word())
                    .bind("soil", act.what().ofASoil() ? soils.get(new LabNumber(act.about())) : null)
                    .bind("about", act.about())
                    .bind("to", act.to())
                    .bind("until", act.until().orElse(null))
                    .bind("regulated", act.regulated())
                    .bind("reason", act.reason())
                    .bind("person", act.person())
                    .bind("at", micros(act.at()).atOffset(ZoneOffset.UTC))
                    .add();
            text.append(canonical(act)).append('\n');
        }
        rows.execute();
        String subject =
                acts.size() == 1 || first.to().isEmpty() || !first.what().ofASoil() ? first.about() : first.to();
        journal.write(
                handle,
                first.at(),
                first.person(),
                ENTRY,
                subject,
                Json.object(
                        "what", first.what().word(),
                        "first", first.about(),
                        "to", first.to(),
                        "acts", acts.size(),
                        "batch", batch,
                        "sha256", Journal.sha256(text.toString())));
    }

    /** Everything that a row says, as canonical JSON. */
    public static String canonical(ShelfAct act) {
        return Json.object(
                "what", act.what().word(),
                "about", act.about(),
                "to", act.to(),
                "until", act.until().map(LocalDate::toString).orElse(""),
                "regulated", act.regulated(),
                "reason", act.reason(),
                "person", act.person(),
                "at", micros(act.at()).toString());
    }

    private static Instant micros(Instant at) {
        return at.truncatedTo(ChronoUnit.MICROS);
    }

    /** Reads a row with all columns. */
    public static ShelfAct read(ResultSet rs) throws SQLException {
        return new ShelfAct(
                ShelfAct.What.ofWord(rs.getString("what")),
                rs.getString("about"),
                rs.getString("to_what"),
                Optional.ofNullable(rs.getObject("until_on", LocalDate.class)),
                rs.getBoolean("regulated"),
                rs.getString("reason"),
                rs.getString("person"),
                rs.getObject("at", OffsetDateTime.class).toInstant());
    }

    static Refused refused(String why) {
        return new Refused(why + ". Nothing was done.");
    }
}
