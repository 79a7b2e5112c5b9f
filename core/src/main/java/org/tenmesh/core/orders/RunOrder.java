package org.tenmesh.core.orders;

import java.time.OffsetDateTime;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.tenmesh.core.digest.Sha256;
import org.tenmesh.core.reduction.Role;

/**
 * What one instrument is to read by one method, position by position. Hidden controls are in it as the ordinary lab numbers they carry.
 *
 * @param name unique in the laboratory, and the name of the run that is read by it
 * @param method the method's id
 * @param instrument which instrument is to read it
 * @param madeAt when the order was made
 * @param places in the order of their positions, which are 1, 2, 3 …
 */
public record RunOrder(String name, String method, String instrument, OffsetDateTime madeAt, List<Place> places) {
    /** @throws IllegalArgumentException where a name is empty or positions do not count up from 1 */
    public RunOrder {
        if (name.isBlank() || method.isBlank() || instrument.isBlank()) {
            throw new IllegalArgumentException("order '" + name + "' of method '" + method + "' for instrument '"
                    + instrument + "': expected a name, a method and an instrument");
        }
        places = List.copyOf(places);
        for (int i = 0; i < places.size(); i++) {
            if (places.get(i).position() != i + 1) {
                throw new IllegalArgumentException("order " + name + " has position "
                        + places.get(i).position() + " in place " + (i + 1) + ": expected positions 1, 2, 3 …");
            }
        }
    }

    /**
     * One position.
     *
     * @param position 1 or more
     * @param role what the position is there for
     * @param identity a standard's or material's name, a lab number, or the name of the blank or wash
     * @param dilution how many times what is read is to be diluted beyond what the method says; 1 = not
     * @param again whether the soil was read before and is read again, from a new portion or from the kept extract, as the order of its tray says
     */
    public record Place(int position, Role role, String identity, double dilution, boolean again) {
        /** @throws IllegalArgumentException where the position is below 1, the identity is empty, or the dilution is below 1 */
        public Place {
            if (position < 1 || identity.isBlank() || !(dilution >= 1) || Double.isInfinite(dilution)) {
                throw new IllegalArgumentException(
                        "position " + position + " for '" + identity + "', diluted " + dilution
                                + " times: expected a position of 1 or more, an identity, and a dilution of 1 or more");
            }
        }

        /** A first portion, read as it is. */
        public Place(int position, Role role, String identity) {
            this(position, role, identity, 1, false);
        }
    }

    /** What is to be read at this position. */
    public Optional<Place> at(int position) {
        return position >= 1 && position <= places.size() ? Optional.of(places.get(position - 1)) : Optional.empty();
    }

    /** SHA-256 over everything it says, 64 hexadecimal digits. */
    public String digest() {
        Sha256 digest = new Sha256()
                .text(name)
                .text(method)
                .text(instrument)
                .text(madeAt.toInstant().truncatedTo(ChronoUnit.MICROS).toString());
        for (Place place : places) {
            digest.number(place.position())
                    .text(place.role().word())
                    .text(place.identity())
                    .number(place.dilution())
                    .text(place.again() ? "again" : "first");
        }
        return digest.hex();
    }

    /** The lab numbers to be read, hidden controls among them, in the order of their positions; a duplicate a second time. */
    public List<String> labNumbers() {
        return places.stream()
                .filter(place -> place.role() == Role.SAMPLE || place.role() == Role.DUPLICATE)
                .map(Place::identity)
                .toList();
    }

    /**
     * The probe, cell or line of each place, from 1, where an instrument reads several places at a time: soils go through them in turn, and
     * every solution begins with the first one again.
     *
     * @param side how many are read at a time; 1 or more
     */
    public List<Integer> lanes(int side) {
        List<Integer> lanes = new ArrayList<>();
        String before = "";
        int next = 0;
        for (Place place : places) {
            boolean soil = place.role() == Role.SAMPLE || place.role() == Role.DUPLICATE;
            String group = soil ? "soil" : place.role() + " " + place.identity();
            next = group.equals(before) ? next % side + 1 : 1;
            before = group;
            lanes.add(next);
        }
        return List.copyOf(lanes);
    }
}
