package org.tenmesh.web.intake;

import java.time.LocalDate;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.dock.Arrival;
import org.tenmesh.core.dock.Booking;
import org.tenmesh.core.dock.DockAct;
import org.tenmesh.core.dock.Expected;
import org.tenmesh.core.dock.Origin;
import org.tenmesh.core.dock.Ruling;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.store.sheets.KeptSheet;
import org.tenmesh.web.days.SheetReader;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.words.Words;

/** Everything that waits for its layout, as it stands at the dock. May be used by several threads. */
final class Dock {
    private final PageContext context;
    /** What was read of each worksheet; a file never changes. */
    private Map<String, SheetReader.Sheet> read = Map.of();

    Dock(PageContext context) {
        this.context = context;
    }

    /** The oldest first. */
    List<AtDock> all(Desk desk) {
        Map<String, List<DockAct>> acts = context.store().sheets().acts();
        Rulings rulings = new Rulings(context, desk, today(desk));
        Map<String, SheetReader.Sheet> reading = new HashMap<>();
        List<AtDock> all = context.store().sheets().waiting().stream()
                .map(kept -> {
                    SheetReader.Sheet sheet = reading.computeIfAbsent(
                            kept.submission() + kept.sha256(),
                            key -> before(key)
                                    .orElseGet(
                                            () -> context.sheets().orElseThrow().read(kept.fileName(), kept.bytes())));
                    return new AtDock(
                            kept,
                            sheet,
                            Booking.of(
                                    expected(kept, sheet),
                                    acts.getOrDefault(kept.submission(), List.of()),
                                    rulings.of(kept, sheet)));
                })
                .toList();
        keep(reading);
        return all;
    }

    Optional<AtDock> one(Desk desk, String submission) {
        return all(desk).stream()
                .filter(one -> one.kept().submission().equals(submission))
                .findFirst();
    }

    /** @throws Refused with the reason where it cannot be kept */
    void keep(Desk desk, AtDock about, DockAct act) {
        Function<Arrival, Ruling> rule = new Rulings(context, desk, today(desk)).of(about.kept(), about.read());
        context.store()
                .sheets()
                .act(
                        act,
                        before -> Booking.of(about.booking().expected(), before, rule)
                                .refusal(act));
    }

    private LocalDate today(Desk desk) {
        return context.clock().instant().atZone(desk.zone()).toLocalDate();
    }

    private synchronized Optional<SheetReader.Sheet> before(String key) {
        return Optional.ofNullable(read.get(key));
    }

    private synchronized void keep(Map<String, SheetReader.Sheet> reading) {
        read = Map.copyOf(reading);
    }

    private static Expected expected(KeptSheet kept, SheetReader.Sheet sheet) {
        return new Expected(
                kept.submission(),
                sheet.samples().stream()
                        .map(one -> new Expected.Bag(one.ordinal(), one.label(), layer(one)))
                        .toList(),
                sheet.originCountry()
                        .map(country -> new Origin(country, sheet.originRegion().orElse("")))
                        .orElse(Origin.MISSING));
    }

    static String layer(SheetReader.Sample sample) {
        return sample.bottomCm().isEmpty()
                ? ""
                : Words.plain(sample.topCm().orElse(0)) + " to "
                        + Words.plain(sample.bottomCm().getAsDouble()) + " cm";
    }
}
