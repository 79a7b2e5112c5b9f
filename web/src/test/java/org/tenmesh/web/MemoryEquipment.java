package org.tenmesh.web;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.tenmesh.core.desk.Holds;
import org.tenmesh.core.equipment.Act;
import org.tenmesh.core.equipment.Equipment;
import org.tenmesh.core.equipment.Hold;
import org.tenmesh.core.equipment.LetStand;
import org.tenmesh.core.equipment.Lot;
import org.tenmesh.core.equipment.Register;
import org.tenmesh.core.equipment.Use;
import org.tenmesh.store.rows.Refused;
import org.tenmesh.web.days.EquipmentStore;

/** Lots, equipment and holds kept in memory, for page tests. May be used by several threads. */
final class MemoryEquipment implements EquipmentStore {
    private final List<Lot> lots = new ArrayList<>();
    private final List<Equipment> equipment = new ArrayList<>();
    private final List<Act> acts = new ArrayList<>();
    private final List<Use> uses = new ArrayList<>();
    private final List<LetStand> letStand = new ArrayList<>();
    private final List<Hold> holds = new ArrayList<>();

    @Override
    public synchronized Holds all() {
        return new Holds(Register.of(lots, equipment, acts, uses), letStand, holds);
    }

    @Override
    public synchronized void register(Lot lot) {
        if (lots.stream().anyMatch(one -> one.name().equals(lot.name()))) {
            throw new Refused("lot " + lot.name() + " is registered already; nothing was stored");
        }
        lots.add(lot);
    }

    @Override
    public synchronized void register(Equipment one) {
        equipment.add(one);
    }

    @Override
    public synchronized void note(Act act) {
        boolean passed = equipment.stream()
                .filter(one -> one.thing().equals(act.thing()))
                .flatMap(one -> one.due(act.about()).stream())
                .filter(Equipment.Due::hasLimits)
                .findFirst()
                .map(due -> due.passes(act.value().orElseThrow()))
                .orElse(act.passed());
        acts.add(new Act(
                acts.size() + 1,
                act.thing(),
                act.what(),
                act.about(),
                act.value(),
                passed,
                act.says(),
                act.at(),
                act.person(),
                act.at()));
    }

    @Override
    public synchronized void note(Use use) {
        uses.add(new Use(
                uses.size() + 1,
                use.thing(),
                use.place(),
                use.day(),
                use.code(),
                use.method(),
                use.at(),
                use.person(),
                use.at()));
    }

    @Override
    public synchronized void letStand(LetStand one) {
        letStand.add(one);
    }

    @Override
    public synchronized long lay(Hold hold) {
        holds.add(new Hold(
                holds.size() + 1,
                hold.about(),
                hold.reason(),
                hold.spans(),
                hold.person(),
                Instant.EPOCH,
                Optional.empty()));
        return holds.size();
    }

    @Override
    public synchronized void lift(long number, String reason, String person) {
        Hold hold = holds.get((int) number - 1);
        holds.set(
                (int) number - 1,
                new Hold(
                        number,
                        hold.about(),
                        hold.reason(),
                        hold.spans(),
                        hold.person(),
                        hold.at(),
                        Optional.of(new Hold.Lifted(reason, person, Instant.EPOCH))));
    }
}
