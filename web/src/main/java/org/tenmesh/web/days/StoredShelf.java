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
import org.tenmesh.store.Store;
import org.tenmesh.store.shelf.BoxCount;
import org.tenmesh.store.shelf.ListCount;
import org.tenmesh.store.shelf.PlaceCount;

/** The store behind the pages of the shelf. */
record StoredShelf(Store store) implements ShelfStore {
    @Override
    public void keep(List<ShelfAct> acts, ZoneId zone) {
        store.shelves().keep(acts, zone);
    }

    @Override
    public int nextBox() {
        return store.shelves().nextBox();
    }

    @Override
    public Map<LabNumber, Stored> find(Collection<LabNumber> labNumbers, ZoneId zone) {
        return store.shelves().find(labNumbers, zone);
    }

    @Override
    public Optional<Shelf.Box> box(String code) {
        return store.shelves().box(code);
    }

    @Override
    public List<Stored> inBox(String code, ZoneId zone) {
        return store.shelves().inBox(code, zone);
    }

    @Override
    public List<BoxCount> at(String place) {
        return place.isEmpty() ? store.shelves().nowhere() : store.shelves().at(place);
    }

    @Override
    public List<PlaceCount> places() {
        return store.shelves().places();
    }

    @Override
    public List<BoxCount> ofClient(String text) {
        return store.shelves().ofClient(text);
    }

    @Override
    public List<BoxCount> releasedOn(LocalDate date) {
        return store.shelves().releasedOn(date);
    }

    @Override
    public List<Stored> lent(ZoneId zone) {
        return store.shelves().lent(zone);
    }

    @Override
    public List<ShelfAct> acts(LabNumber labNumber) {
        return store.shelves().acts(labNumber);
    }

    @Override
    public List<ShelfAct> actsOfBox(String box) {
        return store.shelves().actsOfBox(box);
    }

    @Override
    public List<String> daysWithOrders(LocalDate released) {
        return store.shelves().daysWithOrders(released);
    }

    @Override
    public List<Stored> due(LocalDate day, int days, Set<LabNumber> waiting, ZoneId zone) {
        return store.shelves().due(day, days, waiting, zone);
    }

    @Override
    public List<String> mixed() {
        return store.shelves().mixed();
    }

    @Override
    public String makeList(LocalDate day, int days, Set<LabNumber> waiting, String actor, Instant at, ZoneId zone) {
        return store.shelves().makeList(day, days, waiting, actor, at, zone);
    }

    @Override
    public List<ListCount> lists() {
        return store.shelves().lists();
    }

    @Override
    public Optional<DiscardList> list(String name) {
        return store.shelves().list(name);
    }

    @Override
    public List<Stored> dueBeside(String list, LocalDate day, int days, ZoneId zone) {
        return store.shelves().dueBeside(list, day, days, zone);
    }

    @Override
    public List<Stored> inBoxesOf(DiscardList list, ZoneId zone) {
        return store.shelves().inBoxesOf(list, zone);
    }

    @Override
    public boolean scan(
            String list, String code, int days, Set<LabNumber> waiting, String actor, Instant at, ZoneId zone) {
        return store.shelves().scan(list, code, days, waiting, actor, at, zone);
    }

    @Override
    public List<DiscardList.Line> sign(
            String list, int days, Set<LabNumber> waiting, String actor, Instant at, ZoneId zone) {
        return store.shelves().sign(list, days, waiting, actor, at, zone);
    }
}
