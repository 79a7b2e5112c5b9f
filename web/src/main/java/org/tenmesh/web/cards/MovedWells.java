package org.tenmesh.web.cards;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.tenmesh.core.causes.Cause;
import org.tenmesh.core.causes.Result;
import org.tenmesh.core.causes.ResultKey;
import org.tenmesh.core.causes.Stretch;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.CauseKind;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.layout.Well;
import org.tenmesh.core.quantity.Amount;
import org.tenmesh.core.quantity.Significant;
import org.tenmesh.web.pictures.Wells;
import org.tenmesh.web.words.Words;

/** Trays as they were read and as the cause would have them: turned, exchanged, or two neighbours exchanged. */
final class MovedWells {
    private static final int FIGURES = 3;
    private static final int MOST_LETTERS = 5;

    private MovedWells() {}

    /** As SVG; empty text for another kind of cause, and where not every soil it touches finds its place. */
    static String of(Desk desk, Cause cause, Stretch stretch, String title) {
        Set<LabNumber> touched = new LinkedHashSet<>();
        stretch.touched().stream().map(ResultKey::labNumber).forEach(touched::add);
        Set<String> names = new TreeSet<>();
        touched.forEach(
                lab -> desk.place(lab).ifPresent(place -> names.add(place.tray().tray())));
        List<Tray> trays =
                names.stream().flatMap(name -> desk.tray(name).stream()).toList();
        Map<LabNumber, Optional<LabNumber>> readAs = readAs(cause.kind(), touched, trays);
        if (touched.isEmpty()
                || !readAs.keySet().containsAll(touched)
                || stretch.analytes().isEmpty()) {
            return "";
        }
        String analyte = stretch.analytes().get(0);
        Map<LabNumber, Result> values = new HashMap<>();
        for (Result result : desk.judged().results()) {
            if (result.run().equals(stretch.run()) && result.analyte().equals(analyte)) {
                values.put(result.labNumber(), result);
            }
        }
        List<Wells.Plate> plates = new ArrayList<>();
        for (Tray tray : trays) {
            plates.add(plate(tray, "as read", values, Map.of(), readAs.keySet()));
            plates.add(plate(tray, "put right", values, readAs, readAs.keySet()));
        }
        return new Wells(
                        title,
                        Words.sentence(desk.analyteName(stretch.method(), analyte)) + ", "
                                + unit(desk, stretch, analyte)
                                + ", in each well as it was read and as it would be put right: "
                                + cause.kind().phrase() + ".",
                        plates)
                .svg();
    }

    private static String unit(Desk desk, Stretch stretch, String analyte) {
        return desk.analyte(stretch.method(), analyte)
                .map(known -> known.unit().spelling())
                .filter(unit -> !unit.isEmpty())
                .orElse("plain number");
    }

    // For each soil the one under whose number its own reading is recorded; empty where it lies opposite an empty well.
    private static Map<LabNumber, Optional<LabNumber>> readAs(
            CauseKind kind, Set<LabNumber> touched, List<Tray> trays) {
        Map<LabNumber, Optional<LabNumber>> readAs = new HashMap<>();
        if (kind == CauseKind.TRAY_TURNED && trays.size() == 1) {
            Map<Well, LabNumber> at = at(trays.get(0));
            at.forEach((well, lab) -> readAs.put(lab, Optional.ofNullable(at.get(well.turned()))));
        } else if (kind == CauseKind.TRAYS_EXCHANGED && trays.size() == 2) {
            Map<Well, LabNumber> one = at(trays.get(0));
            Map<Well, LabNumber> two = at(trays.get(1));
            one.forEach((well, lab) -> readAs.put(lab, Optional.ofNullable(two.get(well))));
            two.forEach((well, lab) -> readAs.put(lab, Optional.ofNullable(one.get(well))));
        } else if (kind == CauseKind.NEIGHBOURS_EXCHANGED && touched.size() == 2) {
            List<LabNumber> pair = List.copyOf(touched);
            readAs.put(pair.get(0), Optional.of(pair.get(1)));
            readAs.put(pair.get(1), Optional.of(pair.get(0)));
        }
        return readAs;
    }

    private static Map<Well, LabNumber> at(Tray tray) {
        Map<Well, LabNumber> at = new HashMap<>();
        tray.wells().forEach(place -> place.labNumber().ifPresent(lab -> at.put(place.well(), lab)));
        return at;
    }

    private static Wells.Plate plate(
            Tray tray,
            String state,
            Map<LabNumber, Result> values,
            Map<LabNumber, Optional<LabNumber>> readAs,
            Set<LabNumber> moved) {
        Map<Well, LabNumber> at = at(tray);
        List<Wells.Cell> cells = new ArrayList<>();
        for (int i = 0; i < Well.PER_TRAY; i++) {
            Well well = new Well(i);
            LabNumber lab = at.get(well);
            if (lab == null) {
                cells.add(new Wells.Cell(Double.NaN, "", well + ": empty", false));
                continue;
            }
            Optional<LabNumber> from = readAs.getOrDefault(lab, Optional.of(lab));
            Optional<Result> read = from.map(values::get);
            double value = read.map(one -> one.amount().raw()).orElse(Double.NaN);
            String text = read.map(MovedWells::text).orElse("–");
            cells.add(new Wells.Cell(
                    value,
                    text,
                    well + ", " + lab + ": " + (read.isPresent() ? text : "not read")
                            + from.filter(one -> !one.equals(lab))
                                    .map(one -> ", recorded under " + one)
                                    .orElse(""),
                    moved.contains(lab)));
        }
        return new Wells.Plate(tray.tray() + " " + state, cells);
    }

    private static String text(Result result) {
        if (!(result.amount() instanceof Amount.Measured measured)) {
            return result.reported().isEmpty() ? "–" : result.reported();
        }
        String text = Significant.text(measured.value(), FIGURES);
        return text.length() <= MOST_LETTERS ? text : Significant.text(measured.value(), 2);
    }
}
