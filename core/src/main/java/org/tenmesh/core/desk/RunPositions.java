package org.tenmesh.core.desk;

import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/** A run by positions, in the order read. */
public record RunPositions(List<Position> positions) {
    public RunPositions {
        positions = List.copyOf(positions);
    }

    /**
     * One position.
     *
     * @param readings how many raw values it gave
     * @param signal the first raw value, a stand-in for size in the drawing
     */
    public record Position(
            int position,
            Role role,
            String identity,
            String channel,
            OffsetDateTime at,
            double dilution,
            int readings,
            double signal) {}

    public static RunPositions of(Run run) {
        Readings readings = run.readings();
        Map<Integer, Position> byPosition = new LinkedHashMap<>();
        for (int i = 0; i < readings.size(); i++) {
            Position before = byPosition.get(readings.position(i));
            byPosition.put(
                    readings.position(i),
                    before == null
                            ? new Position(
                                    readings.position(i),
                                    readings.role(i),
                                    readings.identity(i),
                                    readings.channel(i),
                                    readings.at(i),
                                    readings.dilution(i),
                                    1,
                                    readings.value(i))
                            : new Position(
                                    before.position(),
                                    before.role(),
                                    before.identity(),
                                    before.channel(),
                                    before.at(),
                                    Math.max(before.dilution(), readings.dilution(i)),
                                    before.readings() + 1,
                                    before.signal()));
        }
        List<Position> sorted = new ArrayList<>(byPosition.values());
        sorted.sort((a, b) -> Integer.compare(a.position(), b.position()));
        return new RunPositions(sorted);
    }

    public int count(Role role) {
        return (int) positions.stream().filter(p -> p.role() == role).count();
    }
}
