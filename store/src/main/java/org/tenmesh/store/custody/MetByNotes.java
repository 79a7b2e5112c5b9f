package org.tenmesh.store.custody;

import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jdbi.v3.core.Handle;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.Met;
import org.tenmesh.core.bench.Rack;
import org.tenmesh.core.bench.RackRound;
import org.tenmesh.store.bench.NoteRows;

/**
 * When soils met regulated soil, or were on a rack with it, by the notes that count.
 *
 * @param newest number of the newest note
 * @param met by the name of the submission
 */
record MetByNotes(long newest, Map<String, List<Instant>> met) {
    static MetByNotes of(Handle handle, long newest) {
        List<BenchAct> acts = NoteRows.racks(handle, Optional.empty());
        Map<String, List<Instant>> met = new HashMap<>();
        Met.of(acts).forEach(one -> add(met, one.round(), one.ground().deviceAt()));
        RackRound.of(acts).stream()
                .filter(RackRound::regulated)
                .forEach(round -> add(met, round, round.acts().get(0).deviceAt()));
        return new MetByNotes(newest, met);
    }

    private static void add(Map<String, List<Instant>> met, RackRound round, Instant at) {
        round.loads().stream()
                .map(Rack.Load::submission)
                .distinct()
                .forEach(name ->
                        met.computeIfAbsent(name, any -> new ArrayList<>()).add(at));
    }

    boolean met(Handle handle, String name, int submission) {
        return met.getOrDefault(name, List.of()).stream()
                .anyMatch(at -> LaidOut.nearest(handle, name, at)
                        .filter(its -> its.id() == submission)
                        .isPresent());
    }
}
