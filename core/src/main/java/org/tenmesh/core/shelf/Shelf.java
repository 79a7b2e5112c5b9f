package org.tenmesh.core.shelf;

import java.time.LocalDate;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.intake.LabNumber;

/**
 * The shelf, or the part of it that some acts concern, and what may be done there. Immutable: an act gives the next one.
 *
 * <p>A soil is in exactly one state. Ordinary and regulated soil never share a box or a place. What has left does not come back and does not
 * leave twice.
 *
 * @param places by code: whether it is for regulated soil
 * @param boxes by code
 * @param soils by lab number, those that were put in a box
 * @param known how the soils that may be put are to be kept, as the record says
 * @param zone of the laboratory: its dates count
 */
public record Shelf(
        Map<String, Boolean> places,
        Map<String, Box> boxes,
        Map<LabNumber, Stored> soils,
        Map<LabNumber, Keeping> known,
        ZoneId zone) {
    public Shelf {
        places = Map.copyOf(places);
        boxes = Map.copyOf(boxes);
        soils = Map.copyOf(soils);
        known = Map.copyOf(known);
    }

    /** @param place where it stands; empty before it was put anywhere */
    public record Box(String code, boolean regulated, Optional<String> place) {}

    /** An empty one on which these soils may be put. */
    public static Shelf empty(Map<LabNumber, Keeping> known, ZoneId zone) {
        return new Shelf(Map.of(), Map.of(), Map.of(), known, zone);
    }

    /** Why an act cannot be done, as a sentence; empty when it can. */
    public Optional<String> refusal(ShelfAct act) {
        return switch (act.what()) {
            case PLACE_MADE ->
                !Codes.isPlace(act.about())
                        ? no("A place is called P- and up to 20 capitals, digits and hyphens, such as P-A1-03; found "
                                + act.about())
                        : places.containsKey(act.about()) ? no("Place " + act.about() + " is there already") : yes();
            case BOX_MADE ->
                !Codes.isBox(act.about())
                        ? no("A box is called B- and six digits, such as B-000012; found " + act.about())
                        : boxes.containsKey(act.about()) ? no("Box " + act.about() + " is there already") : yes();
            case BOX_PUT -> boxPut(act);
            case SOIL_PUT -> soilPut(act);
            case LENT ->
                stored(act)
                        .or(() -> on(act, Stored.State.ON_SHELF))
                        .or(() -> act.to().isBlank() || act.until().isEmpty()
                                ? no("A loan says to whom and until when")
                                : act.until().get().isBefore(date(act)) ? no("A loan ends today or later") : yes());
            case RETURNED -> stored(act).or(() -> on(act, Stored.State.LENT));
            case HELD -> stored(act).or(() -> held(act));
            case HOLD_LIFTED -> stored(act).or(() -> lifted(act));
            case LISTED -> stored(act).or(() -> on(act, Stored.State.ON_SHELF)).or(() -> ordinary(act));
            case SCANNED ->
                Codes.isBox(act.about()) && !boxes.containsKey(act.about())
                        ? no("There is no box " + act.about())
                        : yes();
            case LIST_MADE ->
                Codes.isList(act.about()) && act.until().isPresent()
                        ? yes()
                        : no("A discard list has a name such as D-261130-1 and a day");
            case SIGNED -> yes();
            case DISCARDED ->
                stored(act)
                        .or(() -> on(act, Stored.State.ON_SHELF))
                        .or(() -> ordinary(act))
                        .or(() -> free(act));
            case HANDED_OVER ->
                stored(act)
                        .or(() -> on(act, Stored.State.ON_SHELF))
                        .or(() -> free(act))
                        .or(() -> soil(act).keeping() == Keeping.ORDINARY
                                ? no(act.about() + " is ordinary soil: it leaves by a discard list")
                                : act.to().isBlank() ? no("Say to which charge or to whom it is handed over") : yes());
        };
    }

    private Optional<String> boxPut(ShelfAct act) {
        Box box = boxes.get(act.about());
        Boolean place = places.get(act.to());
        if (box == null) {
            return no("There is no box " + act.about());
        }
        if (place == null) {
            return no("There is no place " + act.to());
        }
        if (box.regulated() != place) {
            return no("Box " + box.code() + " is for " + kind(box.regulated()) + " soil and place " + act.to() + " for "
                    + kind(place) + " soil: they are kept apart");
        }
        return box.place().equals(Optional.of(act.to()))
                ? no("Box " + box.code() + " stands at place " + act.to() + " already")
                : yes();
    }

    private Optional<String> soilPut(ShelfAct act) {
        LabNumber number = new LabNumber(act.about());
        Box box = boxes.get(act.to());
        Keeping keeping = known.get(number);
        Stored before = soils.get(number);
        if (box == null) {
            return no("There is no box " + act.to());
        }
        if (keeping == null) {
            return no("There is no soil " + act.about());
        }
        if (before != null && before.state() != Stored.State.ON_SHELF) {
            return no(act.about() + " is " + before.state().phrase()
                    + (before.state() == Stored.State.LENT ? ": note its return first" : ""));
        }
        if (before != null && before.box().equals(box.code())) {
            return no(act.about() + " is in box " + box.code() + " already");
        }
        if (keeping.apart() != box.regulated()) {
            return no(act.about() + " is " + (keeping == Keeping.ORDINARY ? "ordinary soil" : keeping.phrase())
                    + " and box " + box.code() + " is for " + kind(box.regulated()) + " soil: they are kept apart");
        }
        return yes();
    }

    private Optional<String> held(ShelfAct act) {
        Stored soil = soil(act);
        if (soil.state().gone()) {
            return no(act.about() + " is " + soil.state().phrase() + ": it can no longer be held");
        }
        if (act.to().isBlank() || act.reason().isBlank()) {
            return no("A hold has a kind and a reason");
        }
        if (act.until().filter(end -> !end.isAfter(date(act))).isPresent()) {
            return no("A hold ends tomorrow or later, or when somebody lifts it");
        }
        return open(soil, act).isPresent() ? no(act.about() + " is held already: " + act.to()) : yes();
    }

    private Optional<String> lifted(ShelfAct act) {
        return open(soil(act), act).isEmpty()
                ? no(act.about() + " is not held: " + act.to())
                : act.reason().isBlank() ? no("Lifting a hold has a reason") : yes();
    }

    private Optional<Pause> open(Stored soil, ShelfAct act) {
        return soil.pauses().stream()
                .filter(pause -> pause.kind().equals(act.to()) && pause.holds(date(act)))
                .findFirst();
    }

    private Optional<String> free(ShelfAct act) {
        return soil(act).pauses().stream()
                .filter(pause -> pause.holds(date(act)))
                .findFirst()
                .map(pause -> act.about() + " is held back: " + pause.kind());
    }

    private Optional<String> stored(ShelfAct act) {
        return soils.containsKey(new LabNumber(act.about())) ? yes() : no(act.about() + " is in no box of the shelf");
    }

    private Optional<String> on(ShelfAct act, Stored.State expected) {
        Stored.State state = soil(act).state();
        return state == expected ? yes() : no(act.about() + " is " + state.phrase());
    }

    private Optional<String> ordinary(ShelfAct act) {
        return soil(act).keeping() == Keeping.ORDINARY
                ? yes()
                : no(act.about() + " is " + soil(act).keeping().phrase()
                        + ": it never leaves by an ordinary discard list");
    }

    private Stored soil(ShelfAct act) {
        Stored soil = soils.get(new LabNumber(act.about()));
        if (soil == null) {
            throw new IllegalArgumentException(act.about() + " is in no box of the shelf");
        }
        return soil;
    }

    private LocalDate date(ShelfAct act) {
        return act.at().atZone(zone).toLocalDate();
    }

    private static String kind(boolean regulated) {
        return regulated ? "regulated" : "ordinary";
    }

    private static Optional<String> no(String why) {
        return Optional.of(why);
    }

    private static Optional<String> yes() {
        return Optional.empty();
    }

    /**
     * The shelf after an act.
     *
     * @throws IllegalArgumentException with the {@link #refusal} when it cannot be done
     */
    public Shelf after(ShelfAct act) {
        refusal(act).ifPresent(why -> {
            throw new IllegalArgumentException(why);
        });
        return switch (act.what()) {
            case PLACE_MADE -> {
                Map<String, Boolean> more = new HashMap<>(places);
                more.put(act.about(), act.regulated());
                yield new Shelf(more, boxes, soils, known, zone);
            }
            case BOX_MADE -> withBox(new Box(act.about(), act.regulated(), Optional.empty()));
            case BOX_PUT -> withBox(box(act.about(), Optional.of(act.to())));
            case SOIL_PUT -> with(put(new LabNumber(act.about()), box(act.to())));
            case LENT ->
                with(soil(act)
                        .in(
                                Stored.State.LENT,
                                Optional.of(
                                        new Stored.Loan(act.to(), act.until().orElseThrow()))));
            case RETURNED -> with(soil(act).in(Stored.State.ON_SHELF, Optional.empty()));
            case HELD -> with(withPause(act, new Pause(act.to(), date(act), act.until())));
            case HOLD_LIFTED -> with(withoutPause(act));
            case DISCARDED -> with(soil(act).in(Stored.State.DISCARDED, Optional.empty()));
            case HANDED_OVER -> with(soil(act).in(Stored.State.HANDED_OVER, Optional.empty()));
            case LIST_MADE, LISTED, SCANNED, SIGNED -> this;
        };
    }

    private Box box(String code) {
        Box box = boxes.get(code);
        if (box == null) {
            throw new IllegalArgumentException("There is no box " + code);
        }
        return box;
    }

    private Box box(String code, Optional<String> place) {
        return new Box(code, box(code).regulated(), place);
    }

    private Stored put(LabNumber number, Box box) {
        Stored before = soils.get(number);
        return before != null
                ? before.with(box.code(), box.place(), before.pauses())
                : new Stored(
                        number,
                        known.getOrDefault(number, Keeping.UNSETTLED),
                        Stored.State.ON_SHELF,
                        box.code(),
                        box.place(),
                        Optional.empty(),
                        Optional.empty(),
                        List.of());
    }

    private Stored withPause(ShelfAct act, Pause pause) {
        List<Pause> pauses = new ArrayList<>(soil(act).pauses());
        pauses.add(pause);
        return soil(act).with(soil(act).box(), soil(act).place(), pauses);
    }

    private Stored withoutPause(ShelfAct act) {
        Stored soil = soil(act);
        List<Pause> pauses = soil.pauses().stream()
                .map(pause -> pause.kind().equals(act.to()) && pause.holds(date(act))
                        ? new Pause(pause.kind(), pause.from(), Optional.of(date(act)))
                        : pause)
                .toList();
        return soil.with(soil.box(), soil.place(), pauses);
    }

    private Shelf withBox(Box box) {
        Map<String, Box> more = new HashMap<>(boxes);
        more.put(box.code(), box);
        Map<LabNumber, Stored> moved = new HashMap<>(soils);
        moved.replaceAll((number, soil) ->
                soil.box().equals(box.code()) ? soil.with(box.code(), box.place(), soil.pauses()) : soil);
        return new Shelf(places, more, moved, known, zone);
    }

    private Shelf with(Stored soil) {
        Map<LabNumber, Stored> more = new HashMap<>(soils);
        more.put(soil.labNumber(), soil);
        return new Shelf(places, boxes, more, known, zone);
    }
}
