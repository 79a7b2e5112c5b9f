package org.tenmesh.web.cards;

import java.time.LocalDate;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.Promise;
import org.tenmesh.core.desk.RedoOrder;
import org.tenmesh.core.desk.TrayState;
import org.tenmesh.web.words.DayAddress;
import org.tenmesh.web.words.Words;

/**
 * An earlier laboratory day on which something is still to be done: it stays on the lists until it is settled.
 *
 * @param day its name
 * @param promises of submissions that are not released, or only in part
 * @param causes nobody has decided about and that still hold a result back
 * @param orders to make trays again, not yet done
 * @param regulated names of trays that hold regulated soil
 */
public record OpenDay(
        String day,
        LocalDate date,
        LocalDate today,
        List<Promise> promises,
        List<CauseCard> causes,
        List<RedoOrder> orders,
        Set<String> regulated) {
    public OpenDay {
        promises = List.copyOf(promises);
        causes = List.copyOf(causes);
        orders = List.copyOf(orders);
        regulated = Set.copyOf(regulated);
    }

    public static OpenDay of(Desk desk) {
        return new OpenDay(
                desk.name(),
                desk.date(),
                desk.today(),
                desk.promises().stream().filter(p -> !p.released()).toList(),
                desk.openCauses().stream()
                        .map(cause -> CauseCard.of(desk, cause))
                        .toList(),
                RedoOrder.of(desk).stream().filter(order -> !order.done()).toList(),
                desk.trayStates().stream()
                        .filter(TrayState::regulated)
                        .map(TrayState::name)
                        .collect(Collectors.toSet()));
    }

    public boolean hasWork() {
        return !promises.isEmpty() || !causes.isEmpty() || !orders.isEmpty();
    }

    /** How many of its submissions are past the day they were promised for. */
    public int late() {
        return (int) promises.stream().filter(p -> p.lateOn(today)).count();
    }

    public String title() {
        return Words.day(date);
    }

    /** Address of a page of that day. */
    public String href(String path) {
        return DayAddress.on(day, path);
    }

    /** What is still to be done, in a line. */
    public String says() {
        StringBuilder out = new StringBuilder();
        add(out, promises.size(), "submission not released", "submissions not released");
        add(out, causes.size(), "cause open", "causes open");
        add(out, orders.size(), "tray to redo", "trays to redo");
        return out.toString();
    }

    private static void add(StringBuilder out, int n, String one, String many) {
        if (n > 0) {
            out.append(out.isEmpty() ? "" : ", ")
                    .append(Words.count(n))
                    .append(' ')
                    .append(n == 1 ? one : many);
        }
    }
}
