package org.tenmesh.web.days;

import org.tenmesh.core.desk.Holds;
import org.tenmesh.core.equipment.Act;
import org.tenmesh.core.equipment.Equipment;
import org.tenmesh.core.equipment.Hold;
import org.tenmesh.core.equipment.LetStand;
import org.tenmesh.core.equipment.Lot;
import org.tenmesh.core.equipment.Use;

/** What pages ask of the store about lots, equipment and holds, and tell it. Numbers and moments of storing are given by the store. */
public interface EquipmentStore {
    /** Everything that was registered, noted, let stand and held. */
    Holds all();

    void register(Lot lot);

    void register(Equipment equipment);

    void note(Act act);

    void note(Use use);

    void letStand(LetStand one);

    /** Lays a hold and says under which number. */
    long lay(Hold hold);

    void lift(long hold, String reason, String person);
}
