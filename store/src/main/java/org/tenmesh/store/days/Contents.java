package org.tenmesh.store.days;

import java.sql.Array;
import java.sql.SQLException;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.TreeMap;
import java.util.function.Function;
import org.jdbi.v3.core.Handle;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Standard;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.release.ReleasedResult;
import org.tenmesh.store.journal.RowDigests;
import org.tenmesh.store.rows.Json;

/**
 * The canonical text of what is stored, over which digests are taken. A row is a JSON object; whatever is absent is left
 * out, so that a value which a later version adds does not change the digest of a row that has none. Digests are taken
 * over what the rows say and not over their keys in the database, which a later version may choose otherwise.
 */
public final class Contents {
    /** Goes up when the canonical text of a row changes; entries of the older version are then checked by the older text. */
    public static final int VERSION = 1;

    /** What is taken in, by kind. */
    public enum Kind {
        SUBMISSION,
        SOIL,
        PACKAGE,
        SHORTAGE,
        TRAY,
        MATERIAL,
        STANDARD,
        LABORATORY;

        /** As in the journal. */
        public String plural() {
            return switch (this) {
                case SHORTAGE -> "shortages";
                case LABORATORY -> "laboratory";
                default -> name().toLowerCase(Locale.ROOT) + "s";
            };
        }

        /** As in a sentence. */
        public String noun() {
            return switch (this) {
                case MATERIAL -> "control material";
                case SHORTAGE -> "shortage of soil";
                case LABORATORY -> "laboratory and policy";
                default -> name().toLowerCase(Locale.ROOT);
            };
        }
    }

    private final Map<Kind, List<RowDigests.Row>> rows = new LinkedHashMap<>();

    public Contents submissions(List<Submission> submissions) {
        return add(
                Kind.SUBMISSION,
                submissions,
                Submission::submission,
                s -> row(
                        "submission", s.submission(),
                        "client", s.client(),
                        "received-at", s.receivedAt().toString(),
                        "promised-on", s.promisedOn(),
                        "origin-country", s.originCountry(),
                        "origin-region", s.originRegion(),
                        "package", s.packageName(),
                        "water-supplied", s.waterSupplied(),
                        "note", s.note()));
    }

    public Contents soils(List<Soil> soils) {
        return add(
                Kind.SOIL,
                soils,
                s -> s.labNumber().text(),
                s -> row(
                        "lab-number", s.labNumber().text(),
                        "submission", s.submission(),
                        "ordinal", s.ordinal(),
                        "client-label", s.clientLabel(),
                        "top-cm", s.topCm(),
                        "bottom-cm", s.bottomCm(),
                        "package", s.packageName(),
                        "regulated", s.regulated(),
                        "matter", s.matter() == Soil.Matter.SOIL ? Optional.empty() : word(s.matter())));
    }

    public Contents packages(List<TestPackage> packages) {
        return add(
                Kind.PACKAGE,
                packages,
                TestPackage::name,
                p -> row(
                        "name",
                        p.name(),
                        "title",
                        p.title(),
                        "asked",
                        p.asked().stream()
                                .map(asked -> List.of(asked.method(), asked.analytes()))
                                .toList()));
    }

    public Contents shortages(List<Shortage> shortages) {
        return add(
                Kind.SHORTAGE,
                shortages,
                s -> s.labNumber().text() + ", " + s.method(),
                s -> row("lab-number", s.labNumber().text(), "method", s.method()));
    }

    public Contents trays(List<Tray> trays) {
        return add(
                Kind.TRAY,
                trays,
                Tray::tray,
                t -> row(
                        "tray",
                        t.tray(),
                        "wells",
                        t.wells().stream()
                                .sorted(Comparator.comparingInt(
                                        place -> place.well().index()))
                                .map(place -> List.of(
                                        place.well().index(),
                                        place.labNumber().map(l -> l.text()).orElse(""),
                                        place.purpose().word()))
                                .toList()));
    }

    public Contents materials(List<Material> materials) {
        return add(
                Kind.MATERIAL,
                materials,
                m -> m.material() + ", " + m.method() + ", " + m.analyte(),
                m -> row(
                        "material", m.material(),
                        "method", m.method(),
                        "analyte", m.analyte(),
                        "mean", m.mean(),
                        "sd", m.sd(),
                        "unit", m.unit().ucum(),
                        "n", m.n()));
    }

    public Contents standards(List<Standard> standards) {
        return add(
                Kind.STANDARD,
                standards,
                s -> s.standard() + ", " + s.method() + ", " + s.analyte(),
                s -> row(
                        "standard", s.standard(),
                        "method", s.method(),
                        "analyte", s.analyte(),
                        "value", s.value(),
                        "unit", s.unit().ucum(),
                        "tolerance", s.tolerance(),
                        "tolerance-pct", s.tolerancePct()));
    }

    /** What an import said of the laboratory, as it is stored. */
    public Contents laboratory(Handle handle, int source) {
        // The policy as it stands in the table: a limit that a later version adds is not part of what was taken.
        RowDigests.Row laboratory = handle.createQuery("""
                        select sha256, laboratory, zone, address, invented, advice, second_signature_for_accepted,
                               accepted_on_report,
                               array(select array[e.key, e.value] from jsonb_each_text(policy) e) as policy,
                               array(select array[e.key, e.value] from jsonb_each_text(report_forms) e) as report_forms
                        from intake.source
                        where id = :source
                        """)
                .bind("source", source)
                .map((rs, ctx) -> {
                    Map<String, Object> policy = pairs(rs.getArray("policy"));
                    Map<String, Object> forms = pairs(rs.getArray("report_forms"));
                    return new RowDigests.Row(
                            "in import " + rs.getString("sha256").substring(0, 12),
                            row(
                                    "laboratory", rs.getString("laboratory"),
                                    "zone", rs.getString("zone"),
                                    "address", rs.getString("address"),
                                    "invented", rs.getBoolean("invented"),
                                    "advice",
                                            List.of((String[])
                                                    rs.getArray("advice").getArray()),
                                    "policy", policy,
                                    // A setting adds to the digest where it is not the default, so that earlier imports
                                    // keep theirs.
                                    "second-signature-for-accepted",
                                            rs.getBoolean("second_signature_for_accepted")
                                                    ? Optional.of(true)
                                                    : Optional.empty(),
                                    "accepted-on-report",
                                            rs.getBoolean("accepted_on_report") ? Optional.empty() : Optional.of(false),
                                    "report-forms", forms.isEmpty() ? Optional.empty() : Optional.of(forms)));
                })
                .one();
        rows.computeIfAbsent(Kind.LABORATORY, kind -> new ArrayList<>()).add(laboratory);
        return this;
    }

    private static Map<String, Object> pairs(Array array) throws SQLException {
        Map<String, Object> pairs = new TreeMap<>();
        for (Object pair : (Object[]) array.getArray()) {
            pairs.put(((String[]) pair)[0], ((String[]) pair)[1]);
        }
        return pairs;
    }

    /**
     * Digest of the day's key of hidden controls, over a salt that this database user cannot read: it says when the key was
     * changed and tells nobody what is in it.
     */
    public static String sealed(Handle handle, int day) {
        return handle.createQuery("select intake.sealed_digest(:day)")
                .bind("day", day)
                .mapTo(String.class)
                .one();
    }

    /** Digests of the rows of this kind, empty when there are none. */
    public RowDigests of(Kind kind) {
        return RowDigests.of(rows.getOrDefault(kind, List.of()));
    }

    /** Keeps the digests of every row; what the journal entry says of them: for each kind the number of rows and the digest. */
    Map<String, Object> keep(Handle handle) {
        Map<String, Object> kept = new TreeMap<>();
        for (Kind kind : Kind.values()) {
            RowDigests digests = of(kind);
            if (digests.size() > 0) {
                kept.put(kind.plural(), List.of(digests.size(), digests.keep(handle)));
            }
        }
        return kept;
    }

    /** The rows of a release. */
    public static RowDigests results(List<ReleasedResult> results) {
        return RowDigests.of(results.stream()
                .map(r -> new RowDigests.Row(
                        r.labNumber().text() + ", " + r.method() + ", " + r.analyte(),
                        row(
                                "lab-number", r.labNumber().text(),
                                "method", r.method(),
                                "method-version", r.methodVersion(),
                                "analyte", r.analyte(),
                                "value", r.value(),
                                "unit", r.unit(),
                                "reported", r.reported(),
                                "uncertainty", r.uncertainty(),
                                "held-because", r.heldBecause(),
                                "kind", kindBesideText(r),
                                "despite", r.isAccepted() ? Optional.of(r.despite()) : Optional.empty())))
                .toList());
    }

    /** The kind where the text alone would say another; so releases stored without a kind keep their digests. */
    private static Optional<String> kindBesideText(ReleasedResult result) {
        return result.saysMoreThanItsText() ? Optional.of(result.kind().word()) : Optional.empty();
    }

    private <T> Contents add(Kind kind, List<T> all, Function<T, String> name, Function<T, String> text) {
        List<RowDigests.Row> own = rows.computeIfAbsent(kind, k -> new ArrayList<>());
        all.forEach(one -> own.add(new RowDigests.Row(name.apply(one), text.apply(one))));
        return this;
    }

    private static String word(Enum<?> constant) {
        return constant.name().toLowerCase(Locale.ROOT);
    }

    /** A canonical JSON object without what is absent. Numbers that are not whole as Java's shortest text for them. */
    private static String row(Object... namesAndValues) {
        List<Object> present = new ArrayList<>();
        for (int i = 0; i < namesAndValues.length; i += 2) {
            Object value = plain(namesAndValues[i + 1]);
            if (!(value instanceof Optional<?>)) {
                present.add(namesAndValues[i]);
                present.add(value);
            }
        }
        return Json.object(present.toArray());
    }

    // What stays an Optional is empty.
    private static Object plain(Object value) {
        if (value instanceof Optional<?> optional) {
            return optional.isPresent() ? plain(optional.get()) : Optional.empty();
        }
        if (value instanceof OptionalInt optional) {
            return optional.isPresent() ? optional.getAsInt() : Optional.empty();
        }
        if (value instanceof OptionalDouble optional) {
            return optional.isPresent() ? Double.toString(optional.getAsDouble()) : Optional.empty();
        }
        if (value instanceof Double number) {
            return Double.toString(number);
        }
        return value instanceof LocalDate date ? date.toString() : value;
    }
}
