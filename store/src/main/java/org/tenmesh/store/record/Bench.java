package org.tenmesh.store.record;

import java.util.ArrayList;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jdbi.v3.core.Jdbi;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.store.days.RecordTables;

/**
 * What the bench works with, read as a database user that has no right on clients, verdicts and the sealed key. May be
 * used by several threads.
 */
public final class Bench {
    private record Row(String tray, Tray.Place place) {}

    private final Jdbi bench;

    public Bench(Jdbi bench) {
        this.bench = bench;
    }

    /** The trays of a day, by name. */
    public List<Tray> trays(String day) {
        List<Row> rows = bench.withHandle(handle -> handle.createQuery(
                        "select tray, well, lab_number, purpose from bench.place where day = :day order by tray, well")
                .bind("day", day)
                .map((rs, ctx) -> new Row(
                        rs.getString("tray"),
                        new Tray.Place(
                                new Well(rs.getInt("well")),
                                Optional.ofNullable(rs.getString("lab_number")).map(LabNumber::new),
                                RecordTables.purpose(rs.getString("purpose")))))
                .list());
        Map<String, List<Tray.Place>> trays = new LinkedHashMap<>();
        for (Row row : rows) {
            trays.computeIfAbsent(row.tray(), name -> new ArrayList<>()).add(row.place());
        }
        return trays.entrySet().stream()
                .map(entry -> new Tray(entry.getKey(), entry.getValue()))
                .toList();
    }

    /**
     * Where soils stand on the shelf.
     *
     * @return by lab number: box and place, such as {@code B-000012 at P-A1-03}; those that are not there are left out. Where several registers
     *     know a number the laboratory's own is meant
     */
    public Map<LabNumber, String> onShelf(Collection<LabNumber> labNumbers) {
        Map<LabNumber, String> where = new LinkedHashMap<>();
        bench.useHandle(handle -> handle.createQuery("""
                        select distinct on (lab_number) lab_number,
                               case when lent_to = '' then box || coalesce(' at ' || place, ', no place yet')
                                    else 'lent to ' || lent_to end as says
                        from bench.shelf where lab_number = any(:numbers) order by lab_number, (register = 'own') desc
                        """)
                .bindArray(
                        "numbers",
                        String.class,
                        labNumbers.stream().map(LabNumber::text).toList())
                .map((rs, ctx) -> where.put(new LabNumber(rs.getString(1)), rs.getString(2)))
                .list());
        return where;
    }
}
