package org.tenmesh.app.laboratory;

import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.ZoneId;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Set;
import java.util.stream.IntStream;
import org.tenmesh.core.equipment.Act;
import org.tenmesh.core.equipment.Equipment;
import org.tenmesh.core.equipment.Lot;
import org.tenmesh.core.equipment.Thing;
import org.tenmesh.core.equipment.Use;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.judgement.Standard;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;
import org.tenmesh.store.Store;
import org.tenmesh.store.equipment.EquipmentBook;

/** Lots and equipment of the invented laboratory; one pipette is overdue, so that a visitor sees what follows. */
final class InventedThings {
    private static final int TRAYS = 6;

    private final EquipmentBook book;
    private final LocalDate today;
    private final ZoneId zone;
    private final Instant now;
    private final String actor;

    private InventedThings(EquipmentBook book, LocalDate today, ZoneId zone, Instant now, String actor) {
        this.book = book;
        this.today = today;
        this.zone = zone;
        this.now = now;
        this.actor = actor;
    }

    /**
     * Registers them for a day with its runs.
     *
     * @param name of the day
     */
    static void register(Store store, String name, Day day, LocalDate today, Instant now, String actor) {
        ZoneId zone = ZoneId.of(day.laboratory().zone());
        InventedThings things = new InventedThings(store.equipment(), today, zone, now, actor);
        things.lots(day);
        things.extractant(name, day);
        things.equipment(day);
    }

    private void lots(Day day) {
        for (String method : List.of("ph-water-1-1", "mehlich3-icp")) {
            Set<String> names = new LinkedHashSet<>();
            day.standards().stream()
                    .filter(standard -> standard.method().equals(method))
                    .map(Standard::standard)
                    .forEach(names::add);
            int number = 0;
            for (String standard : names) {
                // The last one is left out: its lot is not known, and the run says so.
                if (++number == names.size() && number > 1) {
                    break;
                }
                List<Lot.Content> contents = day.standards().stream()
                        .filter(one ->
                                one.method().equals(method) && one.standard().equals(standard))
                        .map(one -> new Lot.Content(
                                one.analyte(),
                                one.value(),
                                OptionalDouble.of(Math.abs(one.value()) * 0.004),
                                one.unit()))
                        .toList();
                boolean buffer = method.startsWith("ph-");
                boolean checks = !buffer && isCheck(day, method, standard);
                lot(
                        (buffer ? "BUF-" : checks ? "CHK-" : "STD-")
                                + today.minusDays(30).getYear() + "-" + number,
                        buffer ? Lot.Kind.BUFFER : checks ? Lot.Kind.CHECK_SOLUTION : Lot.Kind.STANDARD,
                        standard,
                        method,
                        "invented supplier",
                        contents,
                        List.of(),
                        200);
            }
        }
    }

    private static boolean isCheck(Day day, String method, String standard) {
        return day.runs().stream()
                .filter(run -> run.method().equals(method))
                .map(Run::readings)
                .anyMatch(readings -> IntStream.range(0, readings.size())
                        .anyMatch(i -> readings.role(i) == Role.VERIFICATION
                                && readings.identity(i).equals(standard)));
    }

    private void extractant(String name, Day day) {
        Thing acid =
                lot("ACID-17", Lot.Kind.REAGENT, "acetic acid", "", "invented supplier", List.of(), List.of(), 300);
        Thing stock = lot(
                "M3-STOCK-4",
                Lot.Kind.REAGENT,
                "Mehlich 3 stock",
                "",
                "prepared from the invented procedure 12",
                List.of(),
                List.of(acid.name()),
                90);
        Thing extractant = lot(
                "M3-" + today.getDayOfYear(),
                Lot.Kind.EXTRACTANT,
                "Mehlich 3",
                "mehlich3-icp",
                "prepared from the invented procedure 12",
                List.of(),
                List.of(stock.name()),
                14);
        day.trays().stream()
                .limit(TRAYS)
                .forEach(tray -> book.note(new Use(
                        0,
                        extractant,
                        Use.Place.TRAY,
                        name,
                        tray.tray(),
                        "mehlich3-icp",
                        before(today, 5),
                        actor,
                        now)));
    }

    private Thing lot(
            String name,
            Lot.Kind kind,
            String standsFor,
            String method,
            String source,
            List<Lot.Content> contents,
            List<String> madeFrom,
            int lasts) {
        Thing thing = book.register(new Lot(
                        name,
                        kind,
                        standsFor,
                        method,
                        source,
                        contents,
                        today.minusDays(30),
                        Optional.of(today.plusDays(lasts)),
                        OptionalInt.empty(),
                        madeFrom,
                        actor,
                        now))
                .thing();
        note(thing, Act.What.OPENED, "", OptionalDouble.empty(), today.minusDays(20));
        note(thing, Act.What.TAKEN_INTO_USE, "", OptionalDouble.empty(), today.minusDays(20));
        return thing;
    }

    private void equipment(Day day) {
        Set<String> instruments = new LinkedHashSet<>();
        day.runs().stream().map(Run::instrument).sorted().forEach(instruments::add);
        for (String instrument : instruments) {
            book.register(new Equipment(
                    instrument,
                    Equipment.Kind.INSTRUMENT,
                    "",
                    instrument,
                    "",
                    List.of(due("service", 365, 120, OptionalDouble.empty(), OptionalDouble.empty(), "")),
                    actor,
                    now));
        }
        instruments.stream().filter(one -> one.startsWith("LOI")).findFirst().ifPresent(instrument -> {
            Thing balance = book.register(new Equipment(
                            "Balance 2",
                            Equipment.Kind.BALANCE,
                            "inventory 17",
                            instrument,
                            "",
                            List.of(due(
                                    "check weight 10 g",
                                    7,
                                    4,
                                    OptionalDouble.of(9.998),
                                    OptionalDouble.of(10.002),
                                    "g")),
                            actor,
                            now))
                    .thing();
            note(balance, Act.What.CHECKED, "check weight 10 g", OptionalDouble.of(10.0004), today.minusDays(3));
        });
        for (String mill : List.of("MILL-1", "MILL-2")) {
            Thing grinder = book.register(new Equipment(
                            mill,
                            Equipment.Kind.GRINDER,
                            "",
                            "",
                            "",
                            List.of(
                                    due(
                                            "screen of 2 mm: no hole, no tear",
                                            30,
                                            9,
                                            OptionalDouble.empty(),
                                            OptionalDouble.empty(),
                                            ""),
                                    due(
                                            "ground soil that passes 2 mm",
                                            90,
                                            40,
                                            OptionalDouble.of(99),
                                            OptionalDouble.of(100),
                                            "%")),
                            actor,
                            now))
                    .thing();
            note(
                    grinder,
                    Act.What.CHECKED,
                    "screen of 2 mm: no hole, no tear",
                    OptionalDouble.empty(),
                    today.minusDays(21));
        }
        book.register(new Equipment(
                "Thermometer 1",
                Equipment.Kind.THERMOMETER,
                "inventory 31",
                "",
                "",
                List.of(due("ice point", 90, 40, OptionalDouble.of(-0.2), OptionalDouble.of(0.2), "Cel")),
                actor,
                now));
        book.register(new Equipment(
                "Pipette 5",
                Equipment.Kind.PIPETTE,
                "inventory 44",
                "",
                "",
                List.of(due("delivers 5 mL", 30, -3, OptionalDouble.of(4.97), OptionalDouble.of(5.03), "mL")),
                actor,
                now));
    }

    private Equipment.Due due(
            String what, int every, int inDays, OptionalDouble low, OptionalDouble high, String unit) {
        return new Equipment.Due(what, OptionalInt.of(every), Optional.of(today.plusDays(inDays)), low, high, unit);
    }

    private void note(Thing thing, Act.What what, String about, OptionalDouble value, LocalDate on) {
        book.note(new Act(0, thing, what, about, value, true, "", before(on, 8), actor, now));
    }

    /** An hour of a date, or now where that is still to come. */
    private Instant before(LocalDate date, int hour) {
        Instant at = date.atTime(LocalTime.of(hour, 0)).atZone(zone).toInstant();
        return at.isAfter(now) ? now : at;
    }
}
