package org.tenmesh.web.days;

import org.tenmesh.core.desk.Holds;
import org.tenmesh.core.equipment.Act;
import org.tenmesh.core.equipment.Equipment;
import org.tenmesh.core.equipment.Hold;
import org.tenmesh.core.equipment.LetStand;
import org.tenmesh.core.equipment.Lot;
import org.tenmesh.core.equipment.Use;
import org.tenmesh.store.Store;

/** The store behind the pages about lots, equipment and holds. */
record StoredEquipment(Store store) implements EquipmentStore {
    @Override
    public Holds all() {
        return new Holds(
                store.equipment().register(),
                store.equipment().letStand(),
                store.holds().all());
    }

    @Override
    public void register(Lot lot) {
        store.equipment().register(lot);
    }

    @Override
    public void register(Equipment equipment) {
        store.equipment().register(equipment);
    }

    @Override
    public void note(Act act) {
        store.equipment().note(act);
    }

    @Override
    public void note(Use use) {
        store.equipment().note(use);
    }

    @Override
    public void letStand(LetStand one) {
        store.equipment().letStand(one);
    }

    @Override
    public long lay(Hold hold) {
        return store.holds().lay(hold).number();
    }

    @Override
    public void lift(long hold, String reason, String person) {
        store.holds().lift(hold, reason, person);
    }
}
