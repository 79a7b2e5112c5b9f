package org.tenmesh.web.cards;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.Grounds;
import org.tenmesh.core.desk.Acted;
import org.tenmesh.core.desk.Action;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.RedoOrder;
import org.tenmesh.core.desk.Work;
import org.tenmesh.core.methods.Method;
import org.tenmesh.web.words.Words;

/**
 * What the order of a redo will make the bench do, before it is given.
 *
 * @param parts one for each method
 * @param portions vessels in all
 */
public record OrderView(CauseCard card, List<Part> parts, int portions) {
    /**
     * One method's share.
     *
     * @param work what is to be done: redo, dilution, check reading
     * @param amount of soil and liquid for one portion; empty text where nothing is portioned
     * @param portions vessels, those of hidden controls with them
     */
    public record Part(String method, String work, String amount, List<String> trays, int portions) {}

    public OrderView {
        parts = List.copyOf(parts);
    }

    public static OrderView of(Desk desk, Cause cause) {
        Acted now = new Acted(desk.name(), Grounds.of(cause), Action.ORDER_REDO, "", "", Instant.EPOCH);
        List<RedoOrder> orders = RedoOrder.asked(desk, cause, now);
        List<Part> parts = new ArrayList<>();
        int all = 0;
        for (String id : cause.methods()) {
            List<RedoOrder> own =
                    orders.stream().filter(order -> order.method().equals(id)).toList();
            if (own.isEmpty()) {
                continue;
            }
            int vessels =
                    own.stream().mapToInt(order -> order.labNumbers().size()).sum();
            all += vessels;
            Work work = own.get(0).work();
            parts.add(new Part(
                    desk.methodTitle(id),
                    work == Work.DILUTION
                            ? work.word() + ", " + Words.plain(own.get(0).dilution()) + " times"
                            : work.word(),
                    work.takesPortions()
                            ? desk.methods().find(id).map(OrderView::amount).orElse("")
                            : "the kept extract",
                    own.stream().map(RedoOrder::tray).toList(),
                    vessels));
        }
        return new OrderView(CauseCard.of(desk, cause), parts, all);
    }

    private static String amount(Method method) {
        String amount = method.description().amount();
        return amount.isEmpty()
                ? method.head()
                        .portion()
                        .map(p -> Words.plain(p.soilG()) + " g soil")
                        .orElse("")
                : amount;
    }
}
