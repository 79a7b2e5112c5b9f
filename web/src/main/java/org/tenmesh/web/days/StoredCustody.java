package org.tenmesh.web.days;

import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import org.tenmesh.core.custody.AreaList;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.Signed;
import org.tenmesh.store.Store;
import org.tenmesh.store.custody.Draft;
import org.tenmesh.store.custody.Papers;

/** The record of regulated soil behind the pages. */
record StoredCustody(Store store) implements CustodyStore {
    @Override
    public int draft(AreaList list, int seen, String reason, String actor, Instant at) {
        return store.papers().draft(list, seen, reason, actor, at);
    }

    @Override
    public int draft(Permit permit, int seen, String reason, String actor, Instant at) {
        return store.papers().draft(permit, seen, reason, actor, at);
    }

    @Override
    public void sign(
            Papers.Kind kind, String name, int version, LocalDate from, LocalDate today, String actor, Instant at) {
        store.papers().sign(kind, name, version, from, today, actor, at);
    }

    @Override
    public List<Draft<AreaList>> areaLists() {
        return store.papers().areaLists();
    }

    @Override
    public List<Draft<Permit>> permits() {
        return store.papers().permits();
    }

    @Override
    public List<Signed<AreaList>> signedAreas() {
        return store.papers().signedAreas();
    }

    @Override
    public List<Signed<Permit>> signedPermits() {
        return store.papers().signedPermits();
    }
}
