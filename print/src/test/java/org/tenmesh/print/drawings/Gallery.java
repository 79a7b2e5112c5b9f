package org.tenmesh.print.drawings;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.methods.Gate;
import org.tenmesh.print.drawings.PlateDrawing.Plate;
import org.tenmesh.print.drawings.PlateDrawing.WellState;
import org.tenmesh.print.drawings.SmallDrawings.Light;
import org.tenmesh.print.drawings.SmallDrawings.LightState;
import org.tenmesh.print.drawings.SmallDrawings.Promises;
import org.tenmesh.print.svg.Palette;

/** Every drawing on one page, to be looked at. All of it invented. */
public final class Gallery {
    private Gallery() {}

    /** Writes the page to the path given. */
    public static void main(String[] arguments) throws IOException {
        Files.writeString(Path.of(arguments[0]), page(Palette.SCREEN));
    }

    static List<WellState> wells(String letters) {
        List<WellState> wells = new ArrayList<>();
        for (char letter : letters.toCharArray()) {
            wells.add(
                    switch (letter) {
                        case 'e' -> WellState.EMPTY;
                        case 'w' -> WellState.WAITING;
                        case 'n' -> WellState.NOW;
                        case 'd' -> WellState.DONE;
                        case 'h' -> WellState.HOLD;
                        default -> WellState.REDO;
                    });
        }
        return wells;
    }

    static Plate plate(String letters, int key, boolean regulated) {
        return new Plate("0188", wells(letters), key < 0 ? OptionalInt.empty() : OptionalInt.of(key), regulated);
    }

    static String page(Palette palette) {
        StringBuilder page = new StringBuilder();
        page.append("<!doctype html><meta charset=utf-8><title>Drawings</title><style>")
                .append(
                        ":root{--ground:#fbfbf8;--raised:#fff;--ink:#1c2321;--quiet:#5d6863;--hair:#dde2dc;--well:#c9d0ca;--act:#0a5c63;--hold:#9a5b00;--hold-ground:#fdf1dc;--redo:#a3231c;--redo-ground:#fbe6e3}")
                .append(
                        "@media (prefers-color-scheme:dark){:root{--ground:#141816;--raised:#1c211f;--ink:#e6ebe7;--quiet:#9aa69f;--hair:#2d3531;--well:#47514b;--act:#6cc3c8;--hold:#f0b454;--hold-ground:#33270f;--redo:#ff8d82;--redo-ground:#3a1a17}}")
                .append(
                        "body{margin:24px;background:var(--ground);color:var(--ink);font:15px/1.45 system-ui,sans-serif;font-variant-numeric:tabular-nums}svg{display:block}.row{display:flex;flex-wrap:wrap;gap:12px;align-items:end;margin:12px 0}</style>");
        String[] letters = {
            "dddddddddddd",
            "wwwwwwwwwwww",
            "ddddwwwwwwww",
            "rrrrrrrrrrrr",
            "ddddddddhhhh",
            "ddrddddddrdd",
            "dddhdddddddd",
            "eeeeeeeeeeee",
            "dddddddnwwww",
            "dddddddddeee"
        };
        for (int width : new int[] {28, 40, 84}) {
            page.append("<div class=row>");
            for (int i = 0; i < letters.length; i++) {
                page.append(PlateDrawing.of(plate(letters[i], i % 5, i % 4 == 3), width, palette));
            }
            page.append("</div>");
        }
        page.append("<div class=row>")
                .append(PlateDrawing.of(plate("dddddnwwwwww", 2, false), 420, palette))
                .append(PlateDrawing.of(plate("dhhddrrddded", 7, true), 420, palette))
                .append(PlateDrawing.of(plate("dhhddrrddded", 7, true), 210, palette))
                .append("</div><div class=row>");
        for (int soils : new int[] {3, 18, 46, 120, 300}) {
            page.append(SmallDrawings.submissionBar(
                    "2207", soils, soils == 46, soils == 18 ? Verdict.HOLD : Verdict.FIT, palette));
        }
        page.append("</div>").append("<div class=row>");
        page.append(SmallDrawings.scale(
                        "148 mg/kg", OptionalDouble.of(0.5), OptionalDouble.of(0.04), false, 120, palette))
                .append(SmallDrawings.scale(
                        "< 10 mg/kg", OptionalDouble.of(0.02), OptionalDouble.of(0.15), true, 120, palette))
                .append(SmallDrawings.scale(
                        "9 000 mg/kg", OptionalDouble.of(1.2), OptionalDouble.of(0.1), false, 120, palette))
                .append(SmallDrawings.scale("", OptionalDouble.empty(), OptionalDouble.empty(), false, 120, palette))
                .append("</div><div class=row>");
        List<Light> lights = List.of(
                new Light(Gate.CALIBRATION, LightState.OPEN),
                new Light(Gate.KNOWN_SOLUTIONS, LightState.OPEN),
                new Light(Gate.BLANK, LightState.SHUT),
                new Light(Gate.OWN_CONTROL, LightState.WAITING));
        page.append(SmallDrawings.gates("Plasma 3", lights, true, palette))
                .append(SmallDrawings.gates("Plasma 3", lights, false, palette))
                .append("</div><div class=row>")
                .append(SmallDrawings.promises(new Promises(39, 18, 3, 1), 620, palette))
                .append(SmallDrawings.track("Due today", 0.64, Verdict.FIT, 280, palette))
                .append(SmallDrawings.track("At risk", 0.05, Verdict.HOLD, 280, palette))
                .append("</div>");
        return page.toString();
    }
}
