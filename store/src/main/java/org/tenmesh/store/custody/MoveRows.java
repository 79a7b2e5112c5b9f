package org.tenmesh.store.custody;

import java.sql.ResultSet;
import java.sql.SQLException;
import java.time.OffsetDateTime;
import java.util.List;
import org.jdbi.v3.core.Handle;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.PortionKind;

/** Rows of the account of regulated soil. */
final class MoveRows {
    private MoveRows() {}

    /** The lines that were kept after the one of this number, in their order; after 0 all. */
    static List<Move> after(Handle handle, long seq) {
        return handle.createQuery("select * from custody.move where seq > :seq order by seq")
                .bind("seq", seq)
                .map((rs, ctx) -> move(rs))
                .list();
    }

    static Move move(ResultSet rs) throws SQLException {
        return new Move(
                rs.getString("id"),
                Move.What.of(rs.getString("what")),
                rs.getString("parcel"),
                rs.getString("portion"),
                PortionKind.of(rs.getString("kind")),
                rs.getString("from_portion"),
                rs.getString("place"),
                rs.getLong("mass_mg"),
                rs.getInt("pieces"),
                rs.getString("charge"),
                rs.getString("note"),
                rs.getString("person"),
                rs.getObject("at", OffsetDateTime.class).toInstant());
    }
}
