package org.tenmesh.core.made;

import java.time.OffsetDateTime;
import java.util.Optional;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.core.reduction.Run;

/**
 * A run for tests. {@link #at(Role, String)} goes on to the next position, {@link #read} adds what was read there: on channel 1,
 * undiluted, every position 20 s after the one before, until a test says otherwise.
 */
public final class MadeRun {
    private static final long SECONDS_A_POSITION = 20;

    private String name;
    private String method;
    private String instrument;
    private Optional<String> operator;
    private OffsetDateTime startedAt;
    private Readings.Builder rows = Readings.builder();
    private Optional<Readings> taken = Optional.empty();

    private int position;
    private Role role = Role.SAMPLE;
    private String identity = "";
    private String channel = "1";
    private double dilution = 1;
    private Optional<OffsetDateTime> clock = Optional.empty();

    private MadeRun(
            String name, String method, String instrument, Optional<String> operator, OffsetDateTime startedAt) {
        this.name = name;
        this.method = method;
        this.instrument = instrument;
        this.operator = operator;
        this.startedAt = startedAt;
    }

    public static MadeRun of(String name, String method) {
        return new MadeRun(name, method, "instrument 1", Optional.empty(), MadeDay.MORNING);
    }

    /** The same run with its readings; what is read from here on replaces them. */
    public static MadeRun like(Run other) {
        MadeRun made =
                new MadeRun(other.run(), other.method(), other.instrument(), other.operator(), other.startedAt());
        made.taken = Optional.of(other.readings());
        return made;
    }

    public MadeRun named(String newName) {
        name = newName;
        return this;
    }

    public MadeRun method(String newMethod) {
        method = newMethod;
        return this;
    }

    public MadeRun instrument(String newInstrument) {
        instrument = newInstrument;
        return this;
    }

    public MadeRun operator(String person) {
        operator = Optional.of(person);
        return this;
    }

    public MadeRun startedAt(OffsetDateTime at) {
        startedAt = at;
        return this;
    }

    /** These readings, taken elsewhere. */
    public MadeRun readings(Readings others) {
        taken = Optional.of(others);
        return this;
    }

    /** The next position, and what lies there. */
    public MadeRun at(Role newRole, String newIdentity) {
        position++;
        role = newRole;
        identity = newIdentity;
        return this;
    }

    /** Another role at the same position. */
    public MadeRun as(Role newRole) {
        role = newRole;
        return this;
    }

    /** Which probe, cell, balance or detector takes what follows. */
    public MadeRun channel(String newChannel) {
        channel = newChannel;
        return this;
    }

    /** How far what follows was diluted. */
    public MadeRun diluted(double newDilution) {
        dilution = newDilution;
        return this;
    }

    /** When what follows was read. */
    public MadeRun clock(OffsetDateTime at) {
        clock = Optional.of(at);
        return this;
    }

    /** One reading at the position where the run stands. */
    public MadeRun read(String quantity, double value, Unit unit) {
        taken = Optional.empty();
        OffsetDateTime at = clock.orElseGet(() -> startedAt.plusSeconds(SECONDS_A_POSITION * position));
        rows.add(position, role, identity, channel, quantity, value, unit, at, dilution);
        return this;
    }

    /** Where the run stands: the last position, 0 before the first. */
    public int position() {
        return position;
    }

    public Run run() {
        return new Run(name, method, instrument, operator, startedAt, taken.orElseGet(rows::build));
    }
}
