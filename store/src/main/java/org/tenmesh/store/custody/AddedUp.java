package org.tenmesh.store.custody;

import java.util.ArrayList;
import java.util.List;
import org.jdbi.v3.core.Handle;
import org.tenmesh.core.custody.Ledger;
import org.tenmesh.core.custody.Move;

/**
 * The account as it was added up last. Each time it is asked for, the database says how many lines there are and what they come to: only where that
 * is what was added up, with the new lines, is nothing read again.
 *
 * @param moves every line, in the order in which they were kept
 * @param ledger of these lines; nobody adds to it
 */
public record AddedUp(List<Move> moves, Ledger ledger, Sums sums) {
    static final AddedUp NOTHING = new AddedUp(List.of(), Ledger.of(List.of()), new Sums(0, 0, 0, 0));

    /**
     * What the lines come to.
     *
     * @param seq number of the newest line
     * @param massMg of all lines
     * @param pieces of all lines
     */
    record Sums(long lines, long seq, long massMg, long pieces) {
        private static Sums of(Handle handle) {
            return handle.createQuery("""
                            select count(*) as lines, coalesce(max(seq), 0) as seq, coalesce(sum(mass_mg), 0)::bigint as mass,
                                   coalesce(sum(pieces), 0)::bigint as pieces
                            from custody.move
                            """)
                    .map((rs, ctx) ->
                            new Sums(rs.getLong("lines"), rs.getLong("seq"), rs.getLong("mass"), rs.getLong("pieces")))
                    .one();
        }

        private Sums and(List<Move> fresh, long newest) {
            long mass = massMg;
            long many = pieces;
            for (Move line : fresh) {
                mass += line.massMg();
                many += line.pieces();
            }
            return new Sums(lines + fresh.size(), newest, mass, many);
        }
    }

    /** The account as it is in this transaction. */
    AddedUp now(Handle handle) {
        Sums now = Sums.of(handle);
        if (now.equals(sums)) {
            return this;
        }
        if (now.lines() > sums.lines()) {
            List<Move> fresh = MoveRows.after(handle, sums.seq());
            Sums expected = sums.and(fresh, now.seq());
            if (expected.equals(now)) {
                List<Move> all = new ArrayList<>(moves);
                all.addAll(fresh);
                return new AddedUp(List.copyOf(all), ledger.and(fresh), now);
            }
        }
        // Not what was added up before, so nothing of that is used. A line that comes between the two is read the next
        // time.
        List<Move> all = MoveRows.after(handle, 0);
        return new AddedUp(List.copyOf(all), Ledger.of(all), new Sums(0, 0, 0, 0).and(all, now.seq()));
    }
}
