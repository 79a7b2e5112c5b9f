package org.tenmesh.store.judged;

import java.sql.Connection;
import java.sql.SQLException;
import java.time.Clock;
import java.time.Instant;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.jdbi.v3.core.transaction.TransactionIsolationLevel;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.CauseKey;
import org.tenmesh.core.causes.JudgedDay;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.ResultKey;
import org.tenmesh.core.causes.Stretch;
import org.tenmesh.core.charts.ChartKey;
import org.tenmesh.core.charts.ChartValue;
import org.tenmesh.core.charts.ControlHistory;
import org.tenmesh.core.charts.LowReading;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.judgement.ControlValue;
import org.tenmesh.core.judgement.Finding;
import org.tenmesh.core.judgement.GateOutcome;
import org.tenmesh.core.judgement.Measure;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.store.days.Days;
import org.tenmesh.store.rows.CopiedRows;
import org.tenmesh.store.rows.CopyRows;

/** The judged day that is kept: thrown away whole when its inputs are others. */
public final class Judgements {
    private final Jdbi app;
    private final Jdbi quality;
    private final Clock clock;

    public Judgements(Jdbi app, Jdbi quality, Clock clock) {
        this.app = app;
        this.quality = quality;
        this.clock = clock;
    }

    public void keep(String day, String inputsDigest, JudgedDay judged) {
        // The judge has the key, so it is the quality user who keeps what the judge said.
        inTransaction(quality, TransactionIsolationLevel.READ_COMMITTED, day, handle -> {
            int id = Days.id(handle, day).orElseThrow(() -> Days.unknownDay(day));
            handle.createQuery("select id from intake.day where id = :day for update")
                    .bind("day", id)
                    .mapTo(Integer.class)
                    .one();
            if (digest(handle, id).equals(Optional.of(inputsDigest)) && isWhole(handle, id)) {
                return Optional.empty();
            }
            for (String table : List.of(
                    "judgement.result",
                    "judgement.cause",
                    "judgement.gate",
                    "judgement.difference",
                    "judgement.low_reading",
                    "sealed.control_value")) {
                handle.createUpdate("delete from " + table + " where day = :day")
                        .bind("day", id)
                        .execute();
            }
            Connection connection = handle.getConnection();
            copyResults(connection, id, judged.results());
            copyCauses(connection, id, judged.causes());
            copyStretches(connection, id, judged.causes());
            Measures.copy(connection, id, judged.causes());
            copyGates(connection, id, judged.gates());
            copyControlValues(connection, id, judged.controlValues());
            KeptDifferences.copy(connection, id, judged.differences());
            LowReadings.copy(connection, id, judged.lowReadings());
            handle.createUpdate("""
                            insert into judgement.kept (day, inputs_digest, kept_at, differences, low_readings)
                            values (:day, :digest, :at, :differences, :low)
                            on conflict (day) do update set inputs_digest = excluded.inputs_digest, kept_at = excluded.kept_at,
                                differences = excluded.differences, low_readings = excluded.low_readings
                            """)
                    .bind("differences", judged.differences().size())
                    .bind("low", judged.lowReadings().size())
                    .bind("day", id)
                    .bind("digest", inputsDigest)
                    .bind("at", clock.instant().atOffset(ZoneOffset.UTC))
                    .execute();
            return Optional.empty();
        });
    }

    public void forget(String day) {
        quality.useHandle(handle -> handle.createUpdate(
                        "delete from judgement.kept where day = (select id from intake.day where name = :day)")
                .bind("day", day)
                .execute());
    }

    public Optional<String> digest(String day) {
        return app.withHandle(handle -> Days.id(handle, day).flatMap(id -> digest(handle, id)));
    }

    public Optional<KeptJudgement> judgement(String day) {
        return inTransaction(app, TransactionIsolationLevel.REPEATABLE_READ, day, handle -> load(handle, day, false));
    }

    /** What blanks and low check solutions of one method gave on all days whose judgement is kept, oldest first. */
    public List<LowReading> lowReadings(String method) {
        return LowReadings.of(app, method);
    }

    static Optional<KeptJudgement> withControlValues(Jdbi quality, String day) {
        return inTransaction(
                quality, TransactionIsolationLevel.REPEATABLE_READ, day, handle -> load(handle, day, true));
    }

    static ControlHistory controlHistory(Jdbi quality, String except, Instant since) {
        List<ChartValue> entries = quality.withHandle(handle -> handle.createQuery("""
                        select v.material, v.method, v.analyte, r.instrument, r.started_at, r.started_offset, v.run, v.position,
                               v.value, cardinality(v.rules) > 0 as failed,
                               (select min(f.started_at) from reading.run f where f.day = v.day) as day_started
                        from sealed.control_value v
                        join intake.day d on d.id = v.day
                        join reading.run r on r.day = v.day and r.run = v.run
                        where d.name <> :except and r.started_at >= :since
                        order by r.started_at, v.day, v.ord
                        """)
                .bind("except", except)
                .bind("since", since.atOffset(ZoneOffset.UTC))
                .map((row, context) -> {
                    OffsetDateTime at = Days.at(
                            row.getObject("started_at", OffsetDateTime.class).toInstant(),
                            row.getInt("started_offset"));
                    return new ChartValue(
                            new ChartKey(
                                    row.getString("material"),
                                    row.getString("method"),
                                    row.getString("analyte"),
                                    row.getString("instrument")),
                            Days.at(
                                            row.getObject("day_started", OffsetDateTime.class)
                                                    .toInstant(),
                                            row.getInt("started_offset"))
                                    .toLocalDate(),
                            at,
                            row.getString("run"),
                            row.getInt("position"),
                            row.getDouble("value"),
                            row.getBoolean("failed"));
                })
                .list());
        return ControlHistory.NONE.with(entries);
    }

    static String keptOfOthers(Jdbi quality, String except) {
        return quality.withHandle(handle -> handle.createQuery("""
                        select coalesce(encode(sha256(string_agg(k.day || ' ' || k.inputs_digest, ',' order by k.day)::bytea), 'hex'), '')
                        from judgement.kept k join intake.day d on d.id = k.day
                        where d.name <> :except
                        """)
                .bind("except", except)
                .mapTo(String.class)
                .one());
    }

    private static Optional<String> digest(Handle handle, int day) {
        // Results kept by an earlier program name no version of their method: they count as not kept.
        return handle.createQuery("""
                        select inputs_digest from judgement.kept where day = :day and not exists
                            (select from judgement.result where day = :day and method_version is null)
                        """).bind("day", day).mapTo(String.class).findOne();
    }

    /** False for a judgement kept before differences or low readings were kept with it, and for one of which a row is missing. */
    private static boolean isWhole(Handle handle, int day) {
        return handle.createQuery("""
                        select differences is not distinct from (select count(*) from judgement.difference where day = :day)
                            and low_readings is not distinct from (select count(*) from judgement.low_reading where day = :day)
                        from judgement.kept where day = :day
                        """).bind("day", day).mapTo(Boolean.class).one();
    }

    private static Optional<KeptJudgement> load(Handle handle, String day, boolean withControlValues)
            throws SQLException {
        Optional<Integer> id = Days.id(handle, day);
        Optional<String> digest = id.flatMap(known -> digest(handle, known));
        if (id.isEmpty() || digest.isEmpty() || !isWhole(handle, id.get())) {
            return Optional.empty();
        }
        Instant keptAt = handle.createQuery("select kept_at from judgement.kept where day = :day")
                .bind("day", id.get())
                .mapTo(OffsetDateTime.class)
                .one()
                .toInstant();
        Connection connection = handle.getConnection();
        return Optional.of(new KeptJudgement(
                digest.get(),
                keptAt,
                new JudgedDay(
                        results(connection, id.get()),
                        causes(connection, id.get()),
                        gates(connection, id.get()),
                        withControlValues ? controlValues(connection, id.get()) : List.of(),
                        KeptDifferences.of(connection, id.get()),
                        List.of(),
                        LowReadings.of(connection, id.get()))));
    }

    private interface Work<T> {
        Optional<T> with(Handle handle) throws SQLException;
    }

    private static <T> Optional<T> inTransaction(Jdbi jdbi, TransactionIsolationLevel level, String day, Work<T> work) {
        try {
            return jdbi.inTransaction(level, work::with);
        } catch (SQLException e) {
            throw new IllegalStateException(
                    "the judgement of day " + day + " could not be kept or read: " + e.getMessage(), e);
        }
    }

    private static void copyResults(Connection connection, int day, List<Result> results) throws SQLException {
        try (CopyRows rows = new CopyRows(
                connection,
                "judgement.result (day, ord, lab_number, method, method_version, analyte, run, position, channel, kind, value, edge,"
                        + " words, unit, reported, uncertainty, verdict, causes)")) {
            int ord = 0;
            for (Result r : results) {
                rows.row(18)
                        .integer(day)
                        .integer(ord++)
                        .text(r.labNumber().text())
                        .text(r.method())
                        .text(r.methodVersion().toString())
                        .text(r.analyte())
                        .text(r.run())
                        .integer(r.position())
                        .text(r.channel());
                if (r.amount() instanceof Amount.Measured measured) {
                    rows.text("measured").number(measured.value());
                    // The edge of a number that lies below its standards is the lowest of them.
                    if (measured.isBelowStandards()) {
                        rows.number(measured.lowestStandard()).absent();
                    } else {
                        rows.absent().absent();
                    }
                } else if (r.amount() instanceof Amount.Below below) {
                    rows.text("below").number(below.raw()).number(below.limit()).absent();
                } else if (r.amount() instanceof Amount.Above above) {
                    rows.text("above").number(above.raw()).number(above.limit()).absent();
                } else if (r.amount() instanceof Amount.Missing missing) {
                    rows.text("missing").absent().absent().text(missing.reason());
                } else if (r.amount() instanceof Amount.Saturated) {
                    rows.text("saturated").absent().absent().absent();
                } else if (r.amount() instanceof Amount.NotEnoughSoil) {
                    rows.text("not-enough-soil").absent().absent().absent();
                } else if (r.amount() instanceof Amount.Classed classed) {
                    rows.text("classed").absent().absent().text(classed.word());
                }
                rows.text(r.amount().unit().ucum())
                        .text(r.reported())
                        .number(r.expandedUncertainty())
                        .text(r.verdict().word())
                        .texts(r.causes());
            }
            rows.end();
        }
    }

    private static List<Result> results(Connection connection, int day) throws SQLException {
        List<Result> results = new ArrayList<>();
        CopiedRows.Names names = new CopiedRows.Names();
        try (CopiedRows rows = new CopiedRows(
                connection,
                "select lab_number, method, method_version, analyte, run, position, channel, kind, coalesce(value, 'NaN'),"
                        + " coalesce(edge, 'NaN'), coalesce(words, ''), unit, reported, uncertainty, verdict,"
                        + " causes from judgement.result where day = " + day + " order by ord")) {
            while (rows.next()) {
                results.add(new Result(
                        new LabNumber(rows.text(names)),
                        rows.text(names),
                        LocalDate.parse(rows.text(names)),
                        rows.text(names),
                        rows.text(names),
                        rows.integer(),
                        rows.text(names),
                        amount(
                                rows.text(names),
                                rows.number(),
                                rows.number(),
                                rows.text(names),
                                Days.unit(rows.text(names))),
                        rows.text(),
                        rows.numberOrNone(),
                        verdict(rows.text(names)),
                        rows.texts()));
            }
        }
        return results;
    }

    private static Amount amount(String kind, double value, double edge, String words, Unit unit) {
        return switch (kind) {
            case "measured" -> new Amount.Measured(value, unit, edge);
            case "below" -> new Amount.Below(edge, value, unit);
            case "above" -> new Amount.Above(edge, value, unit);
            case "saturated" -> new Amount.Saturated(unit);
            case "not-enough-soil" -> new Amount.NotEnoughSoil(unit);
            case "classed" -> new Amount.Classed(words, unit);
            default -> new Amount.Missing(words, unit);
        };
    }

    private static Verdict verdict(String word) {
        return Arrays.stream(Verdict.values())
                .filter(verdict -> verdict.word().equals(word))
                .findFirst()
                .orElseThrow();
    }

    private static void copyCauses(Connection connection, int day, List<Cause> causes) throws SQLException {
        try (CopyRows rows = new CopyRows(
                connection,
                "judgement.cause (day, ord, cause, kind, action, log10_odds, runner_up, runner_up_log10_odds,"
                        + " evidence_digest)")) {
            int ord = 0;
            for (Cause c : causes) {
                rows.row(9)
                        .integer(day)
                        .integer(ord++)
                        .text(c.id())
                        .text(c.kind().word())
                        .text(c.action())
                        .number(c.log10Odds());
                if (c.runnerUp().isPresent()) {
                    rows.text(c.runnerUp().get().kind().word())
                            .number(c.runnerUp().get().log10Odds());
                } else {
                    rows.absent().absent();
                }
                rows.text(c.evidenceDigest());
            }
            rows.end();
        }
    }

    private static void copyStretches(Connection connection, int day, List<Cause> causes) throws SQLException {
        try (CopyRows rows = new CopyRows(
                connection,
                "judgement.stretch (day, cause, ord, run, method, verdict, analytes, first_position, last_position,"
                        + " evidence, touched_lab_numbers, touched_analytes)")) {
            for (int cause = 0; cause < causes.size(); cause++) {
                int ord = 0;
                for (Stretch one : causes.get(cause).stretches()) {
                    rows.row(12)
                            .integer(day)
                            .integer(cause)
                            .integer(ord++)
                            .text(one.run())
                            .text(one.method())
                            .text(one.verdict().word())
                            .texts(one.analytes())
                            .integer(one.firstPosition())
                            .integer(one.lastPosition())
                            .text(one.evidence())
                            .texts(one.touched().stream()
                                    .map(key -> key.labNumber().text())
                                    .toList())
                            .texts(one.touched().stream()
                                    .map(ResultKey::analyte)
                                    .toList());
                }
            }
            rows.end();
        }
    }

    // Causes kept by version 0.1 have ordinals for keys and no touched results; they are left out until their day is
    // judged again.
    private static List<Cause> causes(Connection connection, int day) throws SQLException {
        Map<Integer, List<Stretch>> stretches = stretches(connection, day);
        List<Cause> causes = new ArrayList<>();
        try (CopiedRows rows = new CopiedRows(
                connection,
                "select ord, cause, action, log10_odds, coalesce(runner_up, ''),"
                        + " coalesce(runner_up_log10_odds, 'NaN'), evidence_digest"
                        + " from judgement.cause where day = " + day + " order by ord")) {
            while (rows.next()) {
                List<Stretch> own = stretches.getOrDefault(rows.integer(), List.of());
                Optional<CauseKey> key = CauseKey.of(rows.text());
                String action = rows.text();
                OptionalDouble odds = rows.numberOrNone();
                Optional<Finding.RunnerUp> runnerUp = runnerUp(rows.text(), rows.number());
                String digest = rows.text();
                key.ifPresent(known -> causes.add(new Cause(known, own, action, odds, runnerUp, digest)));
            }
        }
        return causes;
    }

    private static Map<Integer, List<Stretch>> stretches(Connection connection, int day) throws SQLException {
        Map<Integer, List<Stretch>> stretches = new HashMap<>();
        Map<List<Integer>, List<Measure>> measures = Measures.of(connection, day);
        CopiedRows.Names names = new CopiedRows.Names();
        try (CopiedRows rows = new CopiedRows(
                connection,
                "select cause, ord, run, method, verdict, analytes, first_position, last_position, evidence,"
                        + " touched_lab_numbers, touched_analytes"
                        + " from judgement.stretch where day = " + day + " order by cause, ord")) {
            while (rows.next()) {
                int cause = rows.integer();
                List<Measure> its = measures.getOrDefault(List.of(cause, rows.integer()), List.of());
                String run = rows.text(names);
                String method = rows.text(names);
                Verdict verdict = verdict(rows.text(names));
                List<String> analytes = rows.texts();
                int first = rows.integer();
                int last = rows.integer();
                String evidence = rows.text();
                List<String> labNumbers = rows.texts();
                List<String> touchedAnalytes = rows.texts();
                List<ResultKey> touched = new ArrayList<>();
                for (int i = 0; i < labNumbers.size(); i++) {
                    touched.add(new ResultKey(new LabNumber(labNumbers.get(i)), method, touchedAnalytes.get(i)));
                }
                stretches
                        .computeIfAbsent(cause, ord -> new ArrayList<>())
                        .add(new Stretch(run, method, verdict, analytes, first, last, touched, evidence, its));
            }
        }
        return stretches;
    }

    private static Optional<Finding.RunnerUp> runnerUp(String kind, double log10Odds) {
        return CauseKind.of(kind).map(known -> new Finding.RunnerUp(known, log10Odds));
    }

    private static void copyGates(Connection connection, int day, List<GateOutcome> gates) throws SQLException {
        try (CopyRows rows = new CopyRows(
                connection, "judgement.gate (day, ord, instrument, run, gate, open, observed, edge, at, at_offset)")) {
            int ord = 0;
            for (GateOutcome g : gates) {
                rows.row(10)
                        .integer(day)
                        .integer(ord++)
                        .text(g.instrument())
                        .text(g.run())
                        .text(g.gate().word())
                        .bool(g.open())
                        .text(g.observed())
                        .text(g.limit())
                        .time(g.at().toInstant())
                        .integer(g.at().getOffset().getTotalSeconds());
            }
            rows.end();
        }
    }

    private static List<GateOutcome> gates(Connection connection, int day) throws SQLException {
        List<GateOutcome> gates = new ArrayList<>();
        try (CopiedRows rows = new CopiedRows(
                connection,
                "select instrument, run, gate, open, observed, edge, at, at_offset from judgement.gate where day = "
                        + day + " order by ord")) {
            while (rows.next()) {
                gates.add(new GateOutcome(
                        rows.text(),
                        rows.text(),
                        gate(rows.text()),
                        rows.bool(),
                        rows.text(),
                        rows.text(),
                        Days.at(rows.time(), rows.integer())));
            }
        }
        return gates;
    }

    private static Gate gate(String word) {
        return Arrays.stream(Gate.values())
                .filter(gate -> gate.word().equals(word))
                .findFirst()
                .orElseThrow();
    }

    private static void copyControlValues(Connection connection, int day, List<ControlValue> values)
            throws SQLException {
        try (CopyRows rows = new CopyRows(
                connection,
                "sealed.control_value (day, ord, run, method, position, identity, hidden, material, analyte, value, z,"
                        + " rules)")) {
            int ord = 0;
            for (ControlValue v : values) {
                rows.row(12)
                        .integer(day)
                        .integer(ord++)
                        .text(v.run())
                        .text(v.method())
                        .integer(v.position())
                        .text(v.identity())
                        .bool(v.hidden())
                        .text(v.material())
                        .text(v.analyte())
                        .number(v.value())
                        .number(v.z())
                        .texts(v.rules());
            }
            rows.end();
        }
    }

    private static List<ControlValue> controlValues(Connection connection, int day) throws SQLException {
        List<ControlValue> values = new ArrayList<>();
        try (CopiedRows rows = new CopiedRows(
                connection,
                "select run, method, position, identity, hidden, material, analyte, value, z, rules"
                        + " from sealed.control_value where day = " + day + " order by ord")) {
            while (rows.next()) {
                values.add(new ControlValue(
                        rows.text(),
                        rows.text(),
                        rows.integer(),
                        rows.text(),
                        rows.bool(),
                        rows.text(),
                        rows.text(),
                        rows.number(),
                        rows.number(),
                        rows.texts()));
            }
        }
        return values;
    }
}
