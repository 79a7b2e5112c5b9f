package org.tenmesh.store.custody;

import java.sql.Array;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.Duration;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.jdbi.v3.core.Handle;
import org.tenmesh.core.custody.Area;
import org.tenmesh.core.custody.AreaList;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.PortionKind;
import org.tenmesh.core.custody.Treatment;
import org.tenmesh.core.digest.Sha256;

/** How lists of areas and permits stand in rows, and the digest of all that one says. */
final class PaperRows {
    private PaperRows() {}

    static void insert(Handle handle, int paper, int version, AreaList list) {
        handle.createUpdate("""
                        insert into custody.area_list
                            (paper, version, authority, pest, rule, covers, everywhere_else, source, as_of, review_by)
                        values (:paper, :version, :authority, :pest, :rule, :covers, :elsewhere, :source, :asOf, :reviewBy)
                        """)
                .bind("paper", paper)
                .bind("version", version)
                .bind("authority", list.authority())
                .bind("pest", list.pest())
                .bind("rule", list.rule())
                .bindArray("covers", String.class, sorted(list.covers()))
                .bind("elsewhere", list.everywhereElse())
                .bind("source", list.source())
                .bind("asOf", list.asOf())
                .bind("reviewBy", list.reviewBy())
                .execute();
        insert(handle, paper, version, 0, list.areas(), false);
        insert(handle, paper, version, list.areas().size(), list.free(), true);
    }

    static void insert(Handle handle, int paper, int version, Permit permit) {
        handle.createUpdate("""
                        insert into custody.permit
                            (paper, version, kind, authority, holder, site, lists, analyses, most_g, hand_carried, issued, amended, expires,
                             warn_days, storage_days, retention_years, label, effluent, conditions, contact)
                        values (:paper, :version, :kind, :authority, :holder, :site, :lists, :analyses, :mostG, :handCarried, :issued,
                                :amended, :expires, :warnDays, :storageDays, :retentionYears, :label, :effluent, :conditions, :contact)
                        """)
                .bind("paper", paper)
                .bind("version", version)
                .bind("kind", permit.kind().name())
                .bind("authority", permit.authority())
                .bind("holder", permit.holder())
                .bind("site", permit.site())
                .bindArray("lists", String.class, sorted(permit.lists()))
                .bindArray("analyses", String.class, sorted(names(permit.analyses())))
                .bind("mostG", permit.mostG().isPresent() ? permit.mostG().getAsLong() : null)
                .bind("handCarried", permit.handCarried())
                .bind("issued", permit.issued())
                .bind("amended", permit.amended().orElse(null))
                .bind("expires", permit.expires())
                .bind("warnDays", permit.warnDays())
                .bind(
                        "storageDays",
                        permit.storageDays().isPresent() ? permit.storageDays().getAsInt() : null)
                .bind(
                        "retentionYears",
                        permit.retentionYears().isPresent()
                                ? permit.retentionYears().getAsInt()
                                : null)
                .bind("label", permit.label())
                .bind("effluent", permit.effluent())
                .bindArray("conditions", String.class, permit.conditions())
                .bind("contact", permit.contact())
                .execute();
        insert(handle, paper, version, 0, permit.origins(), false);
        int place = 0;
        for (Treatment one : permit.treatments()) {
            handle.createUpdate("""
                            insert into custody.treatment
                                (paper, version, place, name, unbroken, longest_gap_s, fit, confirm, source, limit_c, limit_s)
                            values (:paper, :version, :place, :name, :unbroken, :gap, :fit, :confirm, :source, :limitC, :limitS)
                            """)
                    .bind("paper", paper)
                    .bind("version", version)
                    .bind("place", ++place)
                    .bind("name", one.name())
                    .bind("unbroken", one.unbroken())
                    .bind("gap", Math.toIntExact(one.longestGap().toSeconds()))
                    .bindArray("fit", String.class, sorted(words(one.fit())))
                    .bindArray("confirm", String.class, one.confirm())
                    .bind("source", one.source())
                    .bindArray(
                            "limitC",
                            Double.class,
                            one.limits().stream().map(Treatment.Limit::leastC).toList())
                    .bindArray(
                            "limitS",
                            Integer.class,
                            one.limits().stream()
                                    .map(limit -> Math.toIntExact(limit.time().toSeconds()))
                                    .toList())
                    .execute();
        }
    }

    private static void insert(Handle handle, int paper, int version, int before, List<Area> areas, boolean free) {
        int place = before;
        for (Area one : areas) {
            handle.createUpdate("""
                            insert into custody.area (paper, version, place, country, region, county, from_day, until_day, note, free)
                            values (:paper, :version, :place, :country, :region, :county, :from, :until, :note, :free)
                            """)
                    .bind("paper", paper)
                    .bind("version", version)
                    .bind("place", ++place)
                    .bind("country", one.country())
                    .bindArray("region", String.class, one.region())
                    .bindArray("county", String.class, one.county())
                    .bind("from", one.from().orElse(null))
                    .bind("until", one.until().orElse(null))
                    .bind("note", one.note())
                    .bind("free", free)
                    .execute();
        }
    }

    static AreaList areaList(Handle handle, int paper, int version, String name) {
        List<Area> areas = areas(handle, paper, version, false);
        List<Area> free = areas(handle, paper, version, true);
        return handle.createQuery("select * from custody.area_list where paper = :paper and version = :version")
                .bind("paper", paper)
                .bind("version", version)
                .map((rs, ctx) -> new AreaList(
                        name,
                        rs.getString("authority"),
                        rs.getString("pest"),
                        rs.getString("rule"),
                        Set.copyOf(texts(rs, "covers")),
                        rs.getBoolean("everywhere_else"),
                        areas,
                        free,
                        rs.getString("source"),
                        rs.getObject("as_of", LocalDate.class),
                        rs.getObject("review_by", LocalDate.class)))
                .one();
    }

    static Permit permit(Handle handle, int paper, int version, String name) {
        List<Area> origins = areas(handle, paper, version, false);
        List<Treatment> treatments = handle.createQuery(
                        "select * from custody.treatment where paper = :paper and version = :version order by place")
                .bind("paper", paper)
                .bind("version", version)
                .map((rs, ctx) -> treatment(rs))
                .list();
        return handle.createQuery("select * from custody.permit where paper = :paper and version = :version")
                .bind("paper", paper)
                .bind("version", version)
                .map((rs, ctx) -> permit(rs, name, origins, treatments))
                .one();
    }

    private static Permit permit(ResultSet rs, String name, List<Area> origins, List<Treatment> treatments)
            throws SQLException {
        return new Permit(
                Permit.Kind.valueOf(rs.getString("kind")),
                name,
                rs.getString("authority"),
                rs.getString("holder"),
                rs.getString("site"),
                origins,
                Set.copyOf(texts(rs, "lists")),
                texts(rs, "analyses").stream().map(Permit.Analysis::valueOf).collect(Collectors.toSet()),
                rs.getObject("most_g") == null ? OptionalLong.empty() : OptionalLong.of(rs.getLong("most_g")),
                rs.getBoolean("hand_carried"),
                rs.getObject("issued", LocalDate.class),
                Optional.ofNullable(rs.getObject("amended", LocalDate.class)),
                rs.getObject("expires", LocalDate.class),
                rs.getInt("warn_days"),
                whole(rs, "storage_days"),
                whole(rs, "retention_years"),
                treatments,
                rs.getString("label"),
                rs.getString("effluent"),
                texts(rs, "conditions"),
                rs.getString("contact"));
    }

    private static OptionalInt whole(ResultSet rs, String column) throws SQLException {
        return rs.getObject(column) == null ? OptionalInt.empty() : OptionalInt.of(rs.getInt(column));
    }

    private static Treatment treatment(ResultSet rs) throws SQLException {
        Double[] leastC = (Double[]) rs.getArray("limit_c").getArray();
        Integer[] seconds = (Integer[]) rs.getArray("limit_s").getArray();
        List<Treatment.Limit> limits = new ArrayList<>();
        for (int i = 0; i < leastC.length; i++) {
            limits.add(new Treatment.Limit(leastC[i], Duration.ofSeconds(seconds[i])));
        }
        return new Treatment(
                rs.getString("name"),
                limits,
                rs.getBoolean("unbroken"),
                Duration.ofSeconds(rs.getInt("longest_gap_s")),
                texts(rs, "fit").stream().map(PortionKind::of).collect(Collectors.toSet()),
                texts(rs, "confirm"),
                rs.getString("source"));
    }

    private static List<Area> areas(Handle handle, int paper, int version, boolean free) {
        return handle.createQuery(
                        "select * from custody.area where paper = :paper and version = :version and free = :free order by place")
                .bind("free", free)
                .bind("paper", paper)
                .bind("version", version)
                .map((rs, ctx) -> new Area(
                        rs.getString("country"),
                        texts(rs, "region"),
                        texts(rs, "county"),
                        Optional.ofNullable(rs.getObject("from_day", LocalDate.class)),
                        Optional.ofNullable(rs.getObject("until_day", LocalDate.class)),
                        rs.getString("note")))
                .list();
    }

    private static List<String> texts(ResultSet rs, String column) throws SQLException {
        Array array = rs.getArray(column);
        return Arrays.asList((String[]) array.getArray());
    }

    private static List<String> sorted(Set<String> texts) {
        return List.copyOf(new TreeSet<>(texts));
    }

    private static Set<String> names(Set<Permit.Analysis> analyses) {
        return analyses.stream().map(Enum::name).collect(Collectors.toSet());
    }

    private static Set<String> words(Set<PortionKind> kinds) {
        return kinds.stream().map(PortionKind::word).collect(Collectors.toSet());
    }

    static String sha256(AreaList list) {
        Sha256 digest = new Sha256()
                .text(list.name())
                .text(list.authority())
                .text(list.pest())
                .text(list.rule())
                .texts(sorted(list.covers()))
                .text(String.valueOf(list.everywhereElse()))
                .text(list.source())
                .text(list.asOf().toString())
                .text(list.reviewBy().toString());
        areas(digest, list.areas());
        // Versions from before free places were kept have the digest that the journal says of them.
        return (list.free().isEmpty() ? digest : areas(digest, list.free())).hex();
    }

    static String sha256(Permit permit) {
        Sha256 digest = new Sha256()
                .text(permit.kind().name())
                .text(permit.number())
                .text(permit.authority())
                .text(permit.holder())
                .text(permit.site())
                .texts(sorted(permit.lists()))
                .texts(sorted(names(permit.analyses())))
                .text(permit.mostG().toString())
                .text(String.valueOf(permit.handCarried()))
                .text(permit.issued().toString())
                .text(permit.amended().map(LocalDate::toString).orElse(""))
                .text(permit.expires().toString())
                .number(permit.warnDays())
                .text(permit.storageDays().toString())
                .text(permit.retentionYears().toString())
                .text(permit.label())
                .text(permit.effluent())
                .texts(permit.conditions())
                .text(permit.contact())
                .number(permit.treatments().size());
        for (Treatment one : permit.treatments()) {
            digest.text(one.name())
                    .text(String.valueOf(one.unbroken()))
                    .number(one.longestGap().toSeconds())
                    .texts(sorted(words(one.fit())))
                    .texts(one.confirm())
                    .text(one.source())
                    .number(one.limits().size());
            one.limits()
                    .forEach(limit ->
                            digest.number(limit.leastC()).number(limit.time().toSeconds()));
        }
        return areas(digest, permit.origins()).hex();
    }

    private static Sha256 areas(Sha256 digest, List<Area> areas) {
        digest.number(areas.size());
        for (Area one : areas) {
            digest.text(one.country())
                    .texts(one.region())
                    .texts(one.county())
                    .text(one.from().map(LocalDate::toString).orElse(""))
                    .text(one.until().map(LocalDate::toString).orElse(""))
                    .text(one.note());
        }
        return digest;
    }
}
