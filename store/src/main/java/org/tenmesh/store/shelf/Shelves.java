package org.tenmesh.store.shelf;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.jdbi.v3.core.Handle;
import org.jdbi.v3.core.Jdbi;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.shelf.DiscardList;
import org.tenmesh.core.shelf.Shelf;
import org.tenmesh.core.shelf.ShelfAct;
import org.tenmesh.core.shelf.ShelfAct.What;
import org.tenmesh.core.shelf.Stored;
import org.tenmesh.store.custody.LedgerBook;
import org.tenmesh.store.journal.Journal;
import org.tenmesh.store.rows.Refused;

/**
 * What people did at the shelf, each time with an entry in the journal, and where everything is. What may be done is {@link Shelf}'s to say. May
 * be used by several threads; those who change something follow one another.
 */
public final class Shelves {
    private static final int LISTS = 50;

    private final Jdbi app;
    private final Journal journal;

    public Shelves(Jdbi app, Journal journal) {
        this.app = app;
        this.journal = journal;
    }

    /**
     * Keeps acts that were done together, in their order: all or none.
     *
     * @param acts of one person at one moment; lists, scans and discards have methods of their own
     * @param zone of the laboratory
     * @throws Refused with the first that cannot be done
     */
    public void keep(List<ShelfAct> acts, ZoneId zone) {
        if (acts.isEmpty()) {
            throw new Refused("Nothing was scanned. Nothing was done.");
        }
        for (ShelfAct act : acts) {
            switch (act.what()) {
                case LIST_MADE, LISTED, SCANNED, SIGNED, DISCARDED ->
                    throw new IllegalArgumentException(act.what() + " belongs to a discard list");
                default -> {}
            }
        }
        app.useTransaction(handle -> {
            lock(handle);
            write(handle, acts, zone);
        });
    }

    private void write(Handle handle, List<ShelfAct> acts, ZoneId zone) {
        Set<LabNumber> numbers = new LinkedHashSet<>();
        Set<String> codes = new TreeSet<>();
        for (ShelfAct act : acts) {
            if (act.what().ofASoil()) {
                if (act.about().length() > 32) {
                    throw ActRows.refused("There is no soil " + act.about());
                }
                numbers.add(new LabNumber(act.about()));
            }
            codes.add(act.about());
            codes.add(act.to());
        }
        Map<LabNumber, Integer> ids = ShelfQueries.ids(handle, numbers);
        Map<LabNumber, Stored> soils = ShelfQueries.soils(handle, ids, zone);
        soils.values().forEach(soil -> codes.add(soil.box()));
        Shelf shelf =
                new Shelf(places(handle, codes), boxes(handle, codes), soils, ShelfQueries.keeping(handle, ids), zone);
        for (ShelfAct act : acts) {
            Optional<String> refusal = shelf.refusal(act);
            if (refusal.isPresent()) {
                throw ActRows.refused(refusal.get());
            }
            // Of a long list only what one act says of the next matters, which is rare; two of one soil follow each
            // other.
            shelf = shelf.after(act);
        }
        ActRows.write(handle, journal, acts, ids);
        follow(handle, acts, zone);
    }

    /** Wherever regulated soil goes, the account of regulated soil has a line of it. */
    private void follow(Handle handle, List<ShelfAct> acts, ZoneId zone) {
        LedgerBook account = new LedgerBook(app, journal);
        for (ShelfAct act : acts) {
            Map<String, String> now = new HashMap<>();
            switch (act.what()) {
                case LENT ->
                    now.put(
                            act.about(),
                            "lent to " + act.to()
                                    + act.until().map(day -> " until " + day).orElse(""));
                case HANDED_OVER -> now.put(act.about(), "handed over: " + act.to());
                case SOIL_PUT, RETURNED -> {
                    List<LabNumber> number = List.of(new LabNumber(act.about()));
                    ShelfQueries.soils(handle, ShelfQueries.ids(handle, number), zone).values().stream()
                            .filter(soil -> soil.keeping().apart())
                            .forEach(soil -> now.put(act.about(), place(soil)));
                }
                case BOX_PUT ->
                    ShelfQueries.inBoxes(handle, List.of(act.about()), zone).stream()
                            .filter(soil ->
                                    soil.keeping().apart() && soil.loan().isEmpty())
                            .forEach(soil -> now.put(soil.labNumber().text(), place(soil)));
                default -> {}
            }
            if (!now.isEmpty()) {
                account.follow(handle, now, act.what() == What.HANDED_OVER, act.person(), act.at());
            }
        }
    }

    private static String place(Stored soil) {
        return soil.place().map(place -> place + ", ").orElse("") + soil.box();
    }

    private static Map<String, Boolean> places(Handle handle, Collection<String> codes) {
        Map<String, Boolean> places = new HashMap<>();
        handle.createQuery("""
                        select place, regulated from shelf.place
                        where place = any(:codes) or place in (select place from shelf.box where box = any(:codes))
                        """)
                .bindArray("codes", String.class, codes)
                .map((rs, ctx) -> places.put(rs.getString(1), rs.getBoolean(2)))
                .list();
        return places;
    }

    private static Map<String, Shelf.Box> boxes(Handle handle, Collection<String> codes) {
        Map<String, Shelf.Box> boxes = new HashMap<>();
        handle.createQuery("select box, regulated, place from shelf.box where box = any(:codes)")
                .bindArray("codes", String.class, codes)
                .map((rs, ctx) -> boxes.put(
                        rs.getString(1),
                        new Shelf.Box(rs.getString(1), rs.getBoolean(2), Optional.ofNullable(rs.getString(3)))))
                .list();
        return boxes;
    }

    private static void lock(Handle handle) {
        handle.execute("select pg_advisory_xact_lock(hashtext('shelf.act'))");
        // Before the journal's, as whoever keeps a line of the account does: otherwise the two could wait for each
        // other.
        LedgerBook.hold(handle);
    }

    // Where things are

    /** The number of the next box that is not there yet, 1 or more. */
    public int nextBox() {
        return app.withHandle(
                handle -> handle.createQuery("select coalesce(max(substr(box, 3)::int), 0) + 1 from shelf.box")
                        .mapTo(Integer.class)
                        .one());
    }

    /** A soil that was put in a box once; empty for any other, and where there is none of this number. */
    public Optional<Stored> find(LabNumber labNumber, ZoneId zone) {
        return Optional.ofNullable(find(List.of(labNumber), zone).get(labNumber));
    }

    /** Those of these soils that were put in a box once. */
    public Map<LabNumber, Stored> find(Collection<LabNumber> labNumbers, ZoneId zone) {
        return app.inTransaction(handle -> ShelfQueries.soils(handle, ShelfQueries.ids(handle, labNumbers), zone));
    }

    /** A box; empty where there is none of this code. */
    public Optional<Shelf.Box> box(String code) {
        return app.withHandle(
                handle -> Optional.ofNullable(boxes(handle, List.of(code)).get(code)));
    }

    /** What is in a box now, by lab number. */
    public List<Stored> inBox(String code, ZoneId zone) {
        return app.inTransaction(handle -> ShelfQueries.inBoxes(handle, List.of(code), zone));
    }

    /** Boxes at a place. */
    public List<BoxCount> at(String place) {
        return boxCounts("where b.place = :wanted group by 1, 2, 3, 5 order by 1", place, "''");
    }

    /** Boxes that stand nowhere yet. */
    public List<BoxCount> nowhere() {
        return boxCounts("where b.place is null and :wanted = '' group by 1, 2, 3, 5 order by 1", "", "''");
    }

    private List<BoxCount> boxCounts(String where, String wanted, String about) {
        return counted(
                "select b.box, b.regulated, b.place, count(st.soil)::int, " + about
                        + " as about from shelf.box b left join shelf.standing st on st.box = b.box " + where,
                wanted);
    }

    /** @param query of which the columns are the fields of a {@link BoxCount}, in their order */
    private List<BoxCount> counted(String query, Object wanted) {
        return app.withHandle(handle -> handle.createQuery(query)
                .bind("wanted", wanted)
                .map((rs, ctx) -> new BoxCount(
                        rs.getString(1),
                        rs.getBoolean(2),
                        Optional.ofNullable(rs.getString(3)),
                        rs.getInt(4),
                        rs.getString(5)))
                .list());
    }

    /** Every place with what stands there. */
    public List<PlaceCount> places() {
        return app.withHandle(handle -> handle.createQuery("""
                        select p.place, p.regulated, count(b.box)::int, coalesce(sum(n.soils), 0)::int
                        from shelf.place p
                        left join shelf.box b on b.place = p.place
                        left join (select box, count(*) as soils from shelf.standing group by box) n on n.box = b.box
                        group by p.place, p.regulated order by p.place
                        """)
                .map((rs, ctx) -> new PlaceCount(rs.getString(1), rs.getBoolean(2), rs.getInt(3), rs.getInt(4)))
                .list());
    }

    /** Places at which regulated and ordinary soil stand together, and boxes that stand nowhere and hold both. What is lent is not there. */
    public List<String> mixed() {
        return app.withHandle(
                handle -> handle.createQuery("""
                        select coalesce(b.place, b.box) from shelf.standing st join shelf.box b on b.box = st.box
                        where st.lent_until is null
                        group by 1 having bool_or(st.keeping = 'regulated') and bool_or(st.keeping = 'ordinary') order by 1
                        """).mapTo(String.class).list());
    }

    /**
     * Boxes with soils of a client or of a submission: how many of them are in each. Lab numbers are not told, because a list of a client's own
     * beside what is in the box would tell which are nobody's.
     *
     * @param text a submission's name, or a part of a client's, in any case
     */
    public List<BoxCount> ofClient(String text) {
        return counted("""
                        select st.box, b.regulated, b.place, count(*)::int, u.client || ', ' || u.submission
                        from (select distinct submission from shelf.standing) s
                        join intake.submission u on u.id = s.submission
                        join shelf.standing st on st.submission = u.id
                        join shelf.box b on b.box = st.box
                        where u.submission = :wanted or position(lower(:wanted) in lower(u.client)) > 0
                        group by 1, 2, 3, 5 order by 5, 1 limit 500
                        """, text);
    }

    /** Boxes with soils of which the last result was released on a date. */
    public List<BoxCount> releasedOn(LocalDate date) {
        return counted("""
                        select st.box, b.regulated, b.place, count(*)::int, 'released ' || :wanted::text
                        from (select distinct submission from shelf.standing) s
                        join lateral (
                            select n.held, (n.signed_at at time zone 'UTC' + make_interval(secs => n.signed_offset))::date as released_on
                            from release.release n where n.submission_id = s.submission order by n.revision desc limit 1) r on true
                        join shelf.standing st on st.submission = s.submission
                        join shelf.box b on b.box = st.box
                        where r.held = 0 and r.released_on = :wanted
                        group by 1, 2, 3 order by 3, 1 limit 500
                        """, date);
    }

    /** Everything that is lent, the earliest due back first. */
    public List<Stored> lent(ZoneId zone) {
        return app.inTransaction(handle -> ShelfQueries.lent(handle, zone));
    }

    /** What was done with a soil, in order. */
    public List<ShelfAct> acts(LabNumber labNumber) {
        return app.inTransaction(handle -> handle.createQuery(
                        "select * from shelf.act where soil = any(:ids) order by seq")
                .bindArray(
                        "ids",
                        Integer.class,
                        ShelfQueries.ids(handle, List.of(labNumber)).values())
                .map((rs, ctx) -> ActRows.read(rs))
                .list());
    }

    /** How a box came to stand where it stands, in order. */
    public List<ShelfAct> actsOfBox(String box) {
        return app.withHandle(handle -> handle.createQuery(
                        "select * from shelf.act where about = :box and what in ('box-made', 'box-put') order by seq")
                .bind("box", box)
                .map((rs, ctx) -> ActRows.read(rs))
                .list());
    }

    // Discard lists

    /** Soils that may be discarded on a day; see {@link DiscardList#due}. */
    public List<Stored> due(LocalDate day, int days, Set<LabNumber> waiting, ZoneId zone) {
        return app.inTransaction(handle ->
                DiscardList.due(ShelfQueries.releasedBefore(handle, day.minusDays(days), zone), days, day, waiting));
    }

    /**
     * Soils that are due on a day and not on a list, whatever holds them; see {@link DiscardList#keptOff}. What was not released is due so many days
     * after it was put in a box first.
     */
    public List<Stored> dueBeside(String list, LocalDate day, int days, ZoneId zone) {
        return app.inTransaction(handle -> ShelfQueries.oldEnough(handle, day.minusDays(days), list, zone));
    }

    /**
     * Makes a list of everything that may be discarded on a day.
     *
     * @return its name
     * @throws Refused where nothing may be
     */
    public String makeList(LocalDate day, int days, Set<LabNumber> waiting, String actor, Instant at, ZoneId zone) {
        return app.inTransaction(handle -> {
            lock(handle);
            List<Stored> due =
                    DiscardList.due(ShelfQueries.releasedBefore(handle, day.minusDays(days), zone), days, day, waiting);
            if (due.isEmpty()) {
                throw ActRows.refused("Nothing on the shelf may be discarded on " + day);
            }
            String stem =
                    String.format("D-%02d%02d%02d-", day.getYear() % 100, day.getMonthValue(), day.getDayOfMonth());
            int number = 1
                    + handle.createQuery(
                                    "select count(*)::int from shelf.act where what = 'list-made' and about like :stem || '%'")
                            .bind("stem", stem)
                            .mapTo(Integer.class)
                            .one();
            String name = stem + number;
            List<ShelfAct> acts = new ArrayList<>();
            acts.add(new ShelfAct(What.LIST_MADE, name, "", Optional.of(day), false, "", actor, at));
            List<LabNumber> numbers = new ArrayList<>();
            for (Stored soil : due) {
                numbers.add(soil.labNumber());
                acts.add(new ShelfAct(
                        What.LISTED, soil.labNumber().text(), name, Optional.empty(), false, "", actor, at));
            }
            ActRows.write(handle, journal, acts, ShelfQueries.ids(handle, numbers));
            return name;
        });
    }

    /** The newest lists, the newest first. */
    public List<ListCount> lists() {
        return app.withHandle(handle -> handle.createQuery("""
                        select m.about, m.until_on, m.person, coalesce(s.person, '') as signed_by,
                               (select count(*) from shelf.act l where l.to_what = m.about and l.what = 'listed')::int as soils,
                               case when s.person is null then 0 else
                               (select count(*) from shelf.act l join shelf.act d on d.soil = l.soil and d.what in ('discarded', 'handed-over')
                                where l.to_what = m.about and l.what = 'listed' and d.to_what = m.about)::int end as discarded
                        from (select * from shelf.act where what = 'list-made' order by seq desc limit :most) m
                        left join shelf.act s on s.what = 'signed' and s.about = m.about
                        order by m.seq desc
                        """)
                .bind("most", LISTS)
                .map((rs, ctx) -> new ListCount(
                        rs.getString("about"),
                        rs.getObject("until_on", LocalDate.class),
                        rs.getString("person"),
                        rs.getString("signed_by"),
                        rs.getInt("soils"),
                        rs.getInt("discarded")))
                .list());
    }

    /** A list as it stands; empty where there is none of this name. */
    public Optional<DiscardList> list(String name) {
        return app.inTransaction(handle -> list(handle, name));
    }

    private static Optional<DiscardList> list(Handle handle, String name) {
        Optional<LocalDate> day = handle.createQuery(
                        "select until_on from shelf.act where what = 'list-made' and about = :name")
                .bind("name", name)
                .mapTo(LocalDate.class)
                .findOne();
        return day.map(its -> new DiscardList(
                name,
                its,
                handle.createQuery("select about from shelf.act where what = 'listed' and to_what = :name order by seq")
                        .bind("name", name)
                        .map((rs, ctx) -> new LabNumber(rs.getString(1)))
                        .list(),
                Set.copyOf(handle.createQuery("select about from shelf.act where what = 'scanned' and to_what = :name")
                        .bind("name", name)
                        .mapTo(String.class)
                        .list()),
                handle.createQuery("select person from shelf.act where what = 'signed' and about = :name")
                        .bind("name", name)
                        .mapTo(String.class)
                        .findOne()
                        .orElse("")));
    }

    /** Everything that is in the boxes of a list's soils, and those of the list that left. */
    public List<Stored> inBoxesOf(DiscardList list, ZoneId zone) {
        return app.inTransaction(handle -> inBoxesOf(handle, list, zone));
    }

    private static List<Stored> inBoxesOf(Handle handle, DiscardList list, ZoneId zone) {
        Map<LabNumber, Stored> lines = ShelfQueries.soils(handle, ShelfQueries.ids(handle, list.lines()), zone);
        Set<String> boxes = new TreeSet<>();
        lines.values().forEach(soil -> boxes.add(soil.box()));
        Map<LabNumber, Stored> all = new HashMap<>(lines);
        ShelfQueries.inBoxes(handle, boxes, zone).forEach(soil -> all.put(soil.labNumber(), soil));
        return List.copyOf(all.values());
    }

    /**
     * Notes that a box or a soil of a list was held under a scanner.
     *
     * @return false where it was noted before
     * @throws Refused where it is not on the list
     */
    public boolean scan(
            String list, String code, int days, Set<LabNumber> waiting, String actor, Instant at, ZoneId zone) {
        return app.inTransaction(handle -> {
            lock(handle);
            DiscardList its = known(handle, list);
            Optional<String> refusal = its.refusal(
                    code, inBoxesOf(handle, its, zone), days, at.atZone(zone).toLocalDate(), waiting);
            if (refusal.isPresent()) {
                throw ActRows.refused(refusal.get());
            }
            if (its.scanned().contains(code)) {
                return false;
            }
            ActRows.write(
                    handle,
                    journal,
                    List.of(new ShelfAct(What.SCANNED, code, list, Optional.empty(), false, "", actor, at)),
                    Map.of());
            return true;
        });
    }

    /**
     * Signs a list: what was scanned and may still go is discarded, everything else stays on the shelf.
     *
     * @return each line with what became of it
     * @throws Refused where it is signed already
     */
    public List<DiscardList.Line> sign(
            String list, int days, Set<LabNumber> waiting, String actor, Instant at, ZoneId zone) {
        return app.inTransaction(handle -> {
            lock(handle);
            DiscardList its = known(handle, list);
            if (!its.signedBy().isEmpty()) {
                throw ActRows.refused("List " + list + " was signed by " + its.signedBy());
            }
            LocalDate today = at.atZone(zone).toLocalDate();
            List<DiscardList.Line> settled = its.settled(inBoxesOf(handle, its, zone), days, today, waiting);
            List<ShelfAct> acts = new ArrayList<>();
            acts.add(new ShelfAct(What.SIGNED, list, "", Optional.empty(), false, "", actor, at));
            List<LabNumber> numbers = new ArrayList<>();
            for (DiscardList.Line line : settled) {
                if (line.leaves()) {
                    numbers.add(line.soil().labNumber());
                    acts.add(new ShelfAct(
                            What.DISCARDED,
                            line.soil().labNumber().text(),
                            list,
                            Optional.empty(),
                            false,
                            "",
                            actor,
                            at));
                }
            }
            ActRows.write(handle, journal, acts, ShelfQueries.ids(handle, numbers));
            return settled;
        });
    }

    private static DiscardList known(Handle handle, String name) {
        return list(handle, name).orElseThrow(() -> ActRows.refused("There is no discard list " + name));
    }

    /**
     * Days on which something was ordered to be made again, and of which soils stand on the shelf whose last result was released by a date. What
     * of it is not done yet, the days say.
     */
    public List<String> daysWithOrders(LocalDate released) {
        return app.withHandle(handle -> handle.createQuery("""
                        select d.name from intake.day d
                        where exists (select from causes.action a where a.day = d.id and a.action = 'order-redo')
                          and exists (
                            select from intake.day_submission l
                            join lateral (
                                select n.held, (n.signed_at at time zone 'UTC' + make_interval(secs => n.signed_offset))::date as released_on
                                from release.release n where n.submission_id = l.submission order by n.revision desc limit 1) r on true
                            where l.day = d.id and r.held = 0 and r.released_on <= :released
                              and exists (select from shelf.standing s where s.submission = l.submission))
                        order by d.on_date desc
                        """)
                .bind("released", released)
                .mapTo(String.class)
                .list());
    }
}
