package org.tenmesh.web;

import java.time.Instant;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.tenmesh.core.custody.AreaList;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.Signed;
import org.tenmesh.store.custody.Draft;
import org.tenmesh.store.custody.Papers;
import org.tenmesh.web.days.CustodyStore;

/** The record of regulated soil in memory. */
final class MemoryCustody implements CustodyStore {
    private final List<Draft<AreaList>> lists = new ArrayList<>();
    private final List<Draft<Permit>> permits = new ArrayList<>();

    @Override
    public int draft(AreaList list, int seen, String reason, String actor, Instant at) {
        lists.add(0, new Draft<>(list.name(), seen + 1, list, reason, actor, at, "0".repeat(64), Optional.empty()));
        return seen + 1;
    }

    @Override
    public int draft(Permit permit, int seen, String reason, String actor, Instant at) {
        permits.add(
                0, new Draft<>(permit.number(), seen + 1, permit, reason, actor, at, "0".repeat(64), Optional.empty()));
        return seen + 1;
    }

    @Override
    public void sign(
            Papers.Kind kind, String name, int version, LocalDate from, LocalDate today, String actor, Instant at) {
        Draft.Signature signature = new Draft.Signature(actor, at, from);
        switch (kind) {
            case AREAS -> lists.replaceAll(one -> signed(one, name, version, signature));
            case PERMIT -> permits.replaceAll(one -> signed(one, name, version, signature));
        }
    }

    private static <T> Draft<T> signed(Draft<T> one, String name, int version, Draft.Signature signature) {
        return one.name().equals(name) && one.version() == version
                ? new Draft<>(
                        name,
                        version,
                        one.paper(),
                        one.reason(),
                        one.draftedBy(),
                        one.draftedAt(),
                        one.sha256(),
                        Optional.of(signature))
                : one;
    }

    @Override
    public List<Draft<AreaList>> areaLists() {
        return List.copyOf(lists);
    }

    @Override
    public List<Draft<Permit>> permits() {
        return List.copyOf(permits);
    }

    @Override
    public List<Signed<AreaList>> signedAreas() {
        return lists.stream().flatMap(one -> one.signed().stream()).toList();
    }

    @Override
    public List<Signed<Permit>> signedPermits() {
        return permits.stream().flatMap(one -> one.signed().stream()).toList();
    }
}
