package org.tenmesh.store.custody;

import java.time.Instant;
import java.util.Optional;
import org.jdbi.v3.core.Handle;
import org.tenmesh.core.custody.Origin;

/**
 * A submission that was laid out.
 *
 * @param soils how many came in with it
 * @param regulated whether it is handled as regulated now
 * @param zone of the laboratory
 */
record LaidOut(int id, String name, Origin origin, int soils, boolean regulated, String zone) {
    /** The submission of this name that was laid out nearest to a moment. */
    static Optional<LaidOut> nearest(Handle handle, String name, Instant near) {
        return handle.createQuery("""
                        select u.id, u.submission, u.origin_country, u.origin_region,
                               (select count(*)::int from intake.came_in c where c.submission = u.id) as soils,
                               exists (select from custody.became_now b where b.submission = u.id)
                                   or coalesce((select bool_and(coalesce(s.regulated, false))
                                                from intake.came_in c join intake.soil s on s.id = c.soil where c.submission = u.id), false)
                                   as regulated,
                               coalesce((select x.zone from intake.source x join intake.day d on d.id = x.day
                                         where d.register = u.register order by x.id desc limit 1), 'UTC') as zone
                        from intake.submission u
                        where u.submission = :name and abs(u.received_on - cast(:near as date)) <= 60
                        order by abs(u.received_on - cast(:near as date)), u.id limit 1
                        """)
                .bind("name", name)
                .bind("near", Kept.millis(near).toLocalDate())
                .map((rs, ctx) -> new LaidOut(
                        rs.getInt("id"),
                        rs.getString("submission"),
                        Origin.written(
                                Optional.ofNullable(rs.getString("origin_country")),
                                Optional.ofNullable(rs.getString("origin_region")).stream()
                                        .toList()),
                        rs.getInt("soils"),
                        rs.getBoolean("regulated"),
                        rs.getString("zone")))
                .findOne();
    }
}
