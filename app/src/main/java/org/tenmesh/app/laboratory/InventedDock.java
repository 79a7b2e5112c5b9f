package org.tenmesh.app.laboratory;

import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import java.util.UUID;
import org.tenmesh.app.living.EarlierRack;
import org.tenmesh.core.dock.Decision;
import org.tenmesh.core.dock.DockAct;
import org.tenmesh.store.Store;
import org.tenmesh.store.sheets.KeptSheet;

/** Boxes at the dock of the invented laboratory: one of yesterday whose soils dry on a rack, one that is only expected, one being counted, one with exceptions, of which one is settled. */
final class InventedDock {
    private static final Duration BOOKED_BEFORE = Duration.ofHours(19);

    private final Store store;
    private final String person;
    private final Instant at;
    private final LocalDate today;

    private InventedDock(Store store, String person, Instant at, LocalDate today) {
        this.store = store;
        this.person = person;
        this.at = at;
        this.today = today;
    }

    static void fill(Store store, String person, String bench, Instant at, LocalDate today) {
        new InventedDock(store, person, at.minus(BOOKED_BEFORE), today.minusDays(1)).dries(bench, at);
        InventedDock dock = new InventedDock(store, person, at, today);
        dock.sheet("Hollow Lane Farm (invented)", List.of("Long Acre", "Pond field", "Hill", "Strand"));
        String counted = dock.sheet("Tern Bay Growers (invented)", List.of("B1", "B2", "B3", "B4", "B5", "B6"));
        dock.say(counted, DockAct.What.BOX, 0, "BX-1041", "sound", "");
        for (int bag = 1; bag <= 3; bag++) {
            dock.say(counted, DockAct.What.THERE, bag, "", DockAct.SCANNED, "");
        }
        String torn = dock.sheet("Marl Pit Estate (invented)", List.of("Park", "Orchard", "Paddock", "Glebe"));
        dock.say(torn, DockAct.What.BOX, 0, "BX-1042", "wet", "one corner torn");
        for (int bag : new int[] {1, 2, 4}) {
            dock.say(torn, DockAct.What.THERE, bag, "", DockAct.SCANNED, "");
        }
        dock.say(torn, DockAct.What.COUNTED, 3, "", "", "");
        dock.say(torn, DockAct.What.FOUND, 4, "", "wet", "water in the bag");
        dock.say(torn, DockAct.What.DECIDED, 0, "wet:4", Decision.GO_ON.word(), "nothing ran out; dried first");
        dock.say(torn, DockAct.What.ASKED, 0, "missing:3", "", "rang the farm office");
    }

    /** What came yesterday lies on a rack and dries. */
    private void dries(String bench, Instant now) {
        List<String> labels = List.of("Upper", "Lower", "Wood side", "Brook", "Lane", "Barn");
        String submission = sheet("Withy Hollow Farm (invented)", labels);
        say(submission, DockAct.What.BOX, 0, "BX-1040", "sound", "");
        for (int bag = 1; bag <= labels.size(); bag++) {
            say(submission, DockAct.What.THERE, bag, "", DockAct.SCANNED, "");
        }
        say(submission, DockAct.What.COUNTED, labels.size(), "", "", "");
        say(submission, DockAct.What.BOOKED, labels.size(), "", "ordinary", "");
        EarlierRack.of(submission, labels.size(), person, bench, now)
                .forEach(act -> store.benchActs().keep(act, act.person()));
    }

    private String sheet(String client, List<String> labels) {
        String text = "Client,\"" + client + "\"\nCountry,IE\nNo,Sample\n";
        for (int i = 0; i < labels.size(); i++) {
            text += (i + 1) + ",\"" + labels.get(i) + "\"\n";
        }
        return store.sheets()
                .keep(
                        "invented.csv",
                        text.getBytes(StandardCharsets.UTF_8),
                        new KeptSheet.Said(client, Optional.of(today.plusDays(4)), Optional.empty(), Optional.empty()),
                        person,
                        at,
                        today);
    }

    private void say(String submission, DockAct.What what, int number, String about, String says, String reason) {
        store.dockActs()
                .keep(
                        new DockAct(
                                UUID.randomUUID().toString(),
                                submission,
                                what,
                                number,
                                about,
                                says,
                                reason,
                                person,
                                at),
                        before -> Optional.empty());
    }
}
