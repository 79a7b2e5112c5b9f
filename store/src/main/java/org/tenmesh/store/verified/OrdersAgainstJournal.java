package org.tenmesh.store.verified;

import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.jdbi.v3.core.Handle;
import org.tenmesh.store.orders.KeptOrder;
import org.tenmesh.store.orders.RunOrders;

/** Run orders against the journal: each one with its places, and whether and why it was cancelled. */
final class OrdersAgainstJournal {
    private static final String SAID = """
            select m.subject || ' ' || (m.detail::jsonb ->> 'sha256') || ' by ' || m.actor || coalesce(
                       ' at ' || (m.detail::jsonb ->> 'offset'), '') || coalesce(
                       ' cancelled: ' || (c.detail::jsonb ->> 'reason') || ', by ' || c.actor || ' '
                       || to_char(c.at at time zone 'UTC', 'YYYY-MM-DD HH24:MI:SS.MS'), '') as says,
                   m.subject as name, m.detail::jsonb ->> 'offset' is null as older
            from journal.entry m
            left join journal.entry c on c.what = 'run-order-cancelled' and c.subject = m.subject
            where m.what = 'run-order-made' order by m.seq
            """;

    private static final DateTimeFormatter TIME = DateTimeFormatter.ofPattern("uuuu-MM-dd HH:mm:ss.SSS");

    private OrdersAgainstJournal() {}

    static void check(Handle handle, Findings found) {
        Set<String> older = new HashSet<>();
        List<String> said = handle.createQuery(SAID)
                .map((rs, ctx) -> {
                    if (rs.getBoolean("older")) {
                        older.add(rs.getString("name"));
                    }
                    return rs.getString("says");
                })
                .list();
        List<String> left = new ArrayList<>();
        for (KeptOrder kept : RunOrders.all(handle)) {
            String name = kept.order().name();
            left.add(name + " " + kept.order().digest() + " by " + kept.actor()
                    // Entries from before say nothing of it.
                    + (older.contains(name)
                            ? ""
                            : " at " + kept.order().madeAt().getOffset())
                    + kept.cancelled()
                            .map(its -> " cancelled: " + its.reason() + ", by " + its.actor() + " "
                                    + TIME.format(its.at().atOffset(ZoneOffset.UTC)))
                            .orElse(""));
        }
        handle.createQuery("""
                        select o.name from reading.run_order o
                        join journal.entry e on e.what = 'run-order-made' and e.subject = o.name
                        where e.detail::jsonb ->> 'sha256' <> o.sha256
                        """)
                .mapTo(String.class)
                .forEach(name ->
                        found.differs("run order " + name + " is kept under another digest than the journal says"));
        found.compared(said.size());
        List<String> gone = said.stream()
                .filter(one -> !left.remove(one))
                .map(one -> "run order " + one + ": it is in the journal and not stored so")
                .toList();
        found.differ(gone, "run orders");
        found.differ(
                left.stream()
                        .map(one ->
                                "run order " + one + ": it is not in the journal, so it was put in outside the program")
                        .toList(),
                "run orders");
    }
}
