package org.tenmesh.web.orders;

import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.desk.RedoOrder;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.planning.NextRun;
import org.tenmesh.core.planning.Solutions;
import org.tenmesh.core.planning.Wanted;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.orders.KeptOrder;
import org.tenmesh.web.cards.OpenDay;
import org.tenmesh.web.days.LaboratoryStore;
import org.tenmesh.web.http.PageContext;

/** What waits for each instrument and method, and the next order of it. */
final class NextOrders {
    /** So many earlier days are asked how a method is read that nobody has read yet on the newest one. */
    private static final int DAYS_BACK = 5;

    private final PageContext context;
    private final Desk desk;
    private final List<OpenDay> open;
    private final List<KeptOrder> kept;
    private final Map<String, Optional<Desk>> byMethod = new LinkedHashMap<>();

    NextOrders(PageContext context, Desk desk, List<OpenDay> open, List<KeptOrder> kept) {
        this.context = context;
        this.desk = desk;
        this.open = open;
        this.kept = kept;
    }

    /**
     * One instrument and one method that something waits for.
     *
     * @param instrument empty text where no run of the method was read on the last days
     * @param again how many of them were read before
     */
    record Station(String instrument, Method method, int waiting, int again) {}

    /** By method, each with the instruments that read it last. */
    List<Station> stations() {
        Set<String> asked = new LinkedHashSet<>();
        desk.trayStates().forEach(tray -> asked.addAll(tray.lacking()));
        RedoOrder.of(desk).stream().filter(order -> !order.done()).forEach(order -> asked.add(order.method()));
        open.forEach(day -> day.orders().forEach(order -> asked.add(order.method())));
        List<Station> stations = new ArrayList<>();
        for (String id : asked) {
            Optional<Method> method = desk.methods().find(id);
            List<Wanted> wanted = wanted(id);
            if (method.isEmpty() || wanted.isEmpty()) {
                continue;
            }
            int again = (int) wanted.stream()
                    .filter(one -> one.again() || one.dilution() > 1)
                    .count();
            Set<String> instruments = instruments(id);
            if (instruments.isEmpty()) {
                stations.add(new Station("", method.get(), wanted.size(), again));
            }
            instruments.forEach(one -> stations.add(new Station(one, method.get(), wanted.size(), again)));
        }
        return stations;
    }

    Set<String> instruments(String method) {
        Set<String> instruments = new LinkedHashSet<>();
        reader(method).ifPresent(day -> runs(day, method).forEach(run -> instruments.add(run.instrument())));
        return instruments;
    }

    private List<Wanted> wanted(String method) {
        Set<String> planned = new HashSet<>();
        kept.stream()
                .filter(one -> one.open() && one.order().method().equals(method))
                .forEach(one -> planned.addAll(one.order().labNumbers()));
        List<Wanted> wanted = new ArrayList<>();
        for (OpenDay day : open) {
            wanted.addAll(Wanted.ordered(day.orders(), method, planned));
        }
        wanted.forEach(one -> planned.add(one.labNumber().text()));
        wanted.addAll(Wanted.of(desk, method, planned));
        return wanted;
    }

    /** The newest day on which the method was read. */
    private Optional<Desk> reader(String method) {
        return byMethod.computeIfAbsent(method, id -> {
            if (!runs(desk, id).isEmpty()) {
                return Optional.of(desk);
            }
            for (LaboratoryStore.Mark day : context.store().days(DAYS_BACK)) {
                Optional<Desk> earlier = context.currentDay().desk(day.day());
                if (earlier.filter(its -> !runs(its, id).isEmpty()).isPresent()) {
                    return earlier;
                }
            }
            return Optional.empty();
        });
    }

    private static List<Run> runs(Desk day, String method) {
        return day.day().runs().stream()
                .filter(run -> run.method().equals(method))
                .toList();
    }

    /** The next order of an instrument, or why there is none. */
    NextRun.Made next(String instrument, Method method, Instant now) {
        Optional<Desk> reader = reader(method.id());
        Optional<Solutions> solutions =
                reader.flatMap(day -> Solutions.of(method, ordered(runs(day, method.id()), instrument)));
        if (solutions.isEmpty()) {
            return new NextRun.Made(
                    Optional.empty(),
                    0,
                    List.of("No run of " + method.head().title()
                            + " was read on the last days, so nothing says which solutions are standards and checks. Put the first"
                            + " run together by hand; the next order is made like it."));
        }
        OffsetDateTime at = now.atZone(desk.zone()).toOffsetDateTime();
        String name = name(instrument, at);
        return NextRun.of(
                name,
                method,
                instrument,
                at,
                wanted(method.id()),
                reader.orElseThrow().day(),
                solutions.get(),
                name.hashCode());
    }

    /** Oldest first; runs of the instrument itself count as newer than those of others. */
    private static List<Run> ordered(List<Run> runs, String instrument) {
        List<Run> ordered = new ArrayList<>(runs);
        ordered.sort((a, b) -> {
            int own = Boolean.compare(
                    a.instrument().equals(instrument), b.instrument().equals(instrument));
            return own != 0 ? own : a.startedAt().compareTo(b.startedAt());
        });
        return ordered;
    }

    private String name(String instrument, OffsetDateTime at) {
        String before = instrument.replaceAll("[^A-Za-z0-9-]", "-") + "-"
                + at.format(DateTimeFormatter.ofPattern("yyMMdd")) + "-";
        int number = 1;
        while (context.store().runOrder(before + number).isPresent()
                || desk.run(before + number).isPresent()) {
            number++;
        }
        return before + number;
    }
}
