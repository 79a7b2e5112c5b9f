package org.tenmesh.web.days;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.Collection;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.shelf.DiscardList;
import org.tenmesh.core.shelf.Shelf;
import org.tenmesh.core.shelf.ShelfAct;
import org.tenmesh.core.shelf.Stored;
import org.tenmesh.store.shelf.BoxCount;
import org.tenmesh.store.shelf.ListCount;
import org.tenmesh.store.shelf.PlaceCount;

/** What pages ask of the shelf and tell it. What cannot be done is a {@code Refused} with a message fit for a page. */
public interface ShelfStore {
    /** Keeps acts that were done together: all or none. */
    void keep(List<ShelfAct> acts, ZoneId zone);

    /** The number of the next box that is not there yet. */
    int nextBox();

    /** Those of these soils that were put in a box once. */
    Map<LabNumber, Stored> find(Collection<LabNumber> labNumbers, ZoneId zone);

    Optional<Shelf.Box> box(String code);

    List<Stored> inBox(String code, ZoneId zone);

    /** Boxes at a place; of the empty text those that stand nowhere yet. */
    List<BoxCount> at(String place);

    List<PlaceCount> places();

    /** Boxes with soils of a client or a submission. */
    List<BoxCount> ofClient(String text);

    /** Boxes with soils of which the last result was released on a date. */
    List<BoxCount> releasedOn(LocalDate date);

    List<Stored> lent(ZoneId zone);

    /** What was done with a soil, in order. */
    List<ShelfAct> acts(LabNumber labNumber);

    /** How a box came to stand where it stands, in order. */
    List<ShelfAct> actsOfBox(String box);

    /** Days on which something was ordered to be made again and of which soils stand on the shelf that were released by this date. */
    List<String> daysWithOrders(LocalDate released);

    /** Soils that may be discarded on a day; see {@link DiscardList#due}. */
    List<Stored> due(LocalDate day, int days, Set<LabNumber> waiting, ZoneId zone);

    /** Places at which regulated and ordinary soil stand together, and boxes without a place that hold both. */
    List<String> mixed();

    String makeList(LocalDate day, int days, Set<LabNumber> waiting, String actor, Instant at, ZoneId zone);

    List<ListCount> lists();

    Optional<DiscardList> list(String name);

    /** Soils that are due on a day and not on a list, whatever holds them. */
    List<Stored> dueBeside(String list, LocalDate day, int days, ZoneId zone);

    /** Everything that is in the boxes of a list's soils, and those of the list that left. */
    List<Stored> inBoxesOf(DiscardList list, ZoneId zone);

    /** @return false where it was scanned before */
    boolean scan(String list, String code, int days, Set<LabNumber> waiting, String actor, Instant at, ZoneId zone);

    List<DiscardList.Line> sign(String list, int days, Set<LabNumber> waiting, String actor, Instant at, ZoneId zone);
}
