package org.tenmesh.web.days;

import java.time.Instant;
import java.time.LocalDate;
import java.util.List;
import java.util.Set;
import org.tenmesh.core.custody.AreaList;
import org.tenmesh.core.custody.Charge;
import org.tenmesh.core.custody.HeatRecord;
import org.tenmesh.core.custody.Ledger;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.Parcel;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.Signed;
import org.tenmesh.store.Store;
import org.tenmesh.store.custody.Became;
import org.tenmesh.store.custody.ChargeState;
import org.tenmesh.store.custody.Draft;
import org.tenmesh.store.custody.LedgerBook;
import org.tenmesh.store.custody.Papers;
import org.tenmesh.store.custody.Seen;

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

    @Override
    public Parcel receive(LedgerBook.Received received, LocalDate today, String person, Instant at) {
        return store.ledger().receive(received, today, person, at);
    }

    @Override
    public void keep(List<Move> lines) {
        store.ledger().keep(lines);
    }

    @Override
    public List<Parcel> parcels() {
        return store.ledger().parcels();
    }

    @Override
    public long newest() {
        return store.ledger().newest();
    }

    @Override
    public List<Move> moves() {
        return store.ledger().addedUp().moves();
    }

    @Override
    public List<Seen> seen() {
        return store.ledger().seen();
    }

    @Override
    public List<Seen.Stray> strays() {
        return store.ledger().strays();
    }

    @Override
    public List<ChargeState> charges() {
        return store.charges().charges();
    }

    @Override
    public List<ChargeState> chargesUnderWay() {
        return store.charges().underWay();
    }

    @Override
    public void open(Charge charge, LocalDate today) {
        store.charges().open(charge, today);
    }

    @Override
    public void load(String charge, List<String> codes, String person, Instant at) {
        store.charges().load(charge, codes, person, at);
    }

    @Override
    public void unload(String charge, String code, String person, Instant at) {
        store.charges().unload(charge, code, person, at);
    }

    @Override
    public void record(String charge, String source, List<Charge.Point> points, String person, Instant at) {
        store.charges().record(charge, source, points, person, at);
    }

    @Override
    public HeatRecord close(String charge, Instant openedAgain, Set<String> confirmed, String person, Instant at) {
        return store.charges().close(charge, openedAgain, confirmed, person, at);
    }

    @Override
    public void sign(String charge, String person, Instant at) {
        store.charges().sign(charge, person, at);
    }

    @Override
    public void release(String charge, ChargeState.Residue residue) {
        store.charges().release(charge, residue);
    }

    @Override
    public List<Became> became() {
        return store.became().became();
    }

    @Override
    public List<Became.InOneTray> inOneTray() {
        return store.became().trays();
    }

    @Override
    public List<String> toMove() {
        return store.became().toMove();
    }

    @Override
    public void decide(String day, String tray, Became.Decision decision, String reason, String person, Instant at) {
        store.became().decide(day, tray, decision, reason, person, at);
    }

    @Override
    public void ordinaryAgain(String parcel, String reason, String person, boolean quality, Instant at) {
        store.became().ordinaryAgain(parcel, reason, person, quality, at);
    }

    @Override
    public void enterPermit(
            String parcel, Signed<Permit> permit, String reason, LocalDate today, String person, Instant at) {
        store.became().enterPermit(parcel, permit, reason, today, person, at);
    }

    @Override
    public Ledger ledger() {
        return store.ledger().addedUp().ledger();
    }
}
