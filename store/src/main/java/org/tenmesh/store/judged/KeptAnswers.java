package org.tenmesh.store.judged;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.redo.Answer;
import org.tenmesh.store.days.Days;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Json;

/** What new readings say of causes: a row for each time that it became something else, in the journal like what people do about causes. */
public final class KeptAnswers {
    private static final String PROGRAM = "Tenmesh";
    private static final String NEWEST = """
            select distinct on (a.day, a.cause) a.day, a.cause, a.kind, a.said, a.log10_ratio, a.compared, a.changed, a.sentence
            from causes.answer a
            """;

    private final Jdbi app;
    private final Journal journal;

    public KeptAnswers(Jdbi app, Journal journal) {
        this.app = app;
        this.journal = journal;
    }

    /** Keeps what is another answer than the one kept last; an open one only where there was another. */
    public void keep(String day, List<Answer> answers, Instant at) {
        Instant atMicros = at.truncatedTo(ChronoUnit.MICROS);
        app.useTransaction(handle -> {
            int id = Days.id(handle, day).orElseThrow(() -> Days.unknownDay(day));
            handle.createQuery("select pg_advisory_xact_lock(hashtext('causes.answer'), :day)")
                    .bind("day", id)
                    .mapToMap()
                    .list();
            Map<String, Answer> known = new HashMap<>();
            handle.createQuery(NEWEST + " where a.day = :day order by a.day, a.cause, a.id desc")
                    .bind("day", id)
                    .map((rs, ctx) -> answer(rs))
                    .forEach(answer -> known.put(answer.cause(), answer));
            for (Answer answer : answers) {
                Answer before = known.get(answer.cause());
                boolean open = answer.said() == Answer.Said.OPEN && before == null;
                if (!open && !answer.equals(before)) {
                    insert(handle, id, answer, atMicros);
                }
            }
        });
    }

    private void insert(Handle handle, int day, Answer answer, Instant at) {
        journal.hold(handle);
        handle.createUpdate("""
                        insert into causes.answer (day, cause, kind, said, log10_ratio, compared, changed, sentence, at)
                        values (:day, :cause, :kind, :said, :ratio, :compared, :changed, :sentence, :at)
                        """)
                .bind("day", day)
                .bind("cause", answer.cause())
                .bind("kind", answer.kind().word())
                .bind("said", answer.said().word())
                .bind("ratio", answer.log10Ratio())
                .bind("compared", answer.compared())
                .bind("changed", answer.changed())
                .bind("sentence", answer.sentence())
                .bind("at", at.atOffset(ZoneOffset.UTC))
                .execute();
        journal.write(
                handle,
                at,
                PROGRAM,
                "cause-answered",
                Days.inJournal(handle, day) + "/" + answer.cause(),
                Json.object(
                        "kind",
                        answer.kind().word(),
                        "said",
                        answer.said().word(),
                        "log10_ratio",
                        Double.toString(answer.log10Ratio()),
                        "compared",
                        Integer.toString(answer.compared()),
                        "changed",
                        Integer.toString(answer.changed()),
                        "sentence",
                        answer.sentence()));
    }

    /** The newest answers of a day, by cause. */
    public List<Answer> of(String day) {
        return app.withHandle(handle -> handle.createQuery(NEWEST
                        + " join intake.day d on d.id = a.day where d.name = :day order by a.day, a.cause, a.id desc")
                .bind("day", day)
                .map((rs, ctx) -> answer(rs))
                .list());
    }

    /** The newest answers of all days, counted by kind. */
    public Map<CauseKind, Answer.Count> byKind() {
        return Answer.byKind(app.withHandle(handle -> handle.createQuery(NEWEST + " order by a.day, a.cause, a.id desc")
                .map((rs, ctx) -> answer(rs))
                .list()));
    }

    private static Answer answer(ResultSet rs) throws SQLException {
        String kind = rs.getString("kind");
        return new Answer(
                rs.getString("cause"),
                CauseKind.of(kind)
                        .orElseThrow(() -> new IllegalStateException("an answer of an unknown kind, " + kind)),
                Answer.Said.valueOf(rs.getString("said").toUpperCase(Locale.ROOT)),
                rs.getDouble("log10_ratio"),
                rs.getInt("compared"),
                rs.getInt("changed"),
                rs.getString("sentence"));
    }
}
