package org.tenmesh.store.verified;

import java.util.ArrayList;
import java.util.List;
import org.jdbi.v3.core.Handle;
import org.tenmesh.store.orders.KeptOrder;
import org.tenmesh.store.orders.RunOrders;

/** Run orders against the journal: each one with its places, and whether and why it was cancelled. */
final class OrdersAgainstJournal {
    private static final String SAID = """
            select m.subject || ' ' || (m.detail::jsonb ->> 'sha256') || coalesce(' cancelled: ' || (c.detail::jsonb ->> 'reason'), '') as says
            from journal.entry m
            left join journal.entry c on c.what = 'run-order-cancelled' and c.subject = m.subject
            where m.what = 'run-order-made' order by m.seq
            """;

    private OrdersAgainstJournal() {}

    static void check(Handle handle, Findings found) {
        List<String> said = handle.createQuery(SAID).mapTo(String.class).list();
        List<String> left = new ArrayList<>();
        for (KeptOrder kept : RunOrders.all(handle)) {
            left.add(kept.order().name() + " " + kept.order().digest()
                    + kept.cancelled().map(its -> " cancelled: " + its.reason()).orElse(""));
        }
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
