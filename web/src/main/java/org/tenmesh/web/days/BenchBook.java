package org.tenmesh.web.days;

import java.time.LocalDate;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Shortage;
import org.tenmesh.core.judgement.Laboratory;

/** What the bench's pages ask of the store and tell it. */
public interface BenchBook {
    /** So many notes about racks are looked through: a rack's newest round is among them. */
    int RACK_ACTS = 2000;

    /**
     * Keeps an act once, however often it is sent.
     *
     * @param sentBy who was signed in on the device when it was sent
     */
    BenchAct keep(BenchAct act, String sentBy);

    /** Grows with every note: as long as it is the same, nothing was noted. */
    long newest();

    /** Everything noted about trays and soils of a day, in the order in which it was stored. */
    List<BenchAct> acts(String day);

    /** Where these soils stand on the shelf, by lab number; those that are not there are left out. */
    Map<LabNumber, String> onShelf(Collection<LabNumber> labNumbers);

    /** The newest notes about racks, in the order in which they were stored. */
    List<BenchAct> racks();

    /** Cleanings of a mill or a rack, and what was ground in it or lay on it since the last of them. */
    List<BenchAct> sinceCleaned(String code);

    /** The mills of which anything was noted, by name. */
    List<String> mills();

    /**
     * Adds to the day that portions could not be taken because there was too little soil.
     *
     * @param act the id of the act that says so; the same one adds nothing twice
     */
    void tooLittle(Laboratory laboratory, LocalDate date, List<Shortage> shortages, String act, String actor);
}
