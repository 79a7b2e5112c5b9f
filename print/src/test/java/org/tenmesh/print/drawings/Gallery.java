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
import org.tenmesh.print.drawings.CalibrationDrawing.Calibration;
import org.tenmesh.print.drawings.CalibrationDrawing.Standard;
import org.tenmesh.print.drawings.LinesDrawing.Check;
import org.tenmesh.print.drawings.LinesDrawing.Line;
import org.tenmesh.print.drawings.PlateDrawing.Plate;
import org.tenmesh.print.drawings.PlateDrawing.WellState;
import org.tenmesh.print.drawings.SmallDrawings.Light;
import org.tenmesh.print.drawings.SmallDrawings.LightState;
import org.tenmesh.print.drawings.SmallDrawings.Promises;
import org.tenmesh.print.drawings.StripDrawing.Bracket;
import org.tenmesh.print.drawings.StripDrawing.Kind;
import org.tenmesh.print.drawings.StripDrawing.Position;
import org.tenmesh.print.drawings.StripDrawing.Strip;
import org.tenmesh.print.drawings.StripDrawing.TrayStretch;
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

    static Strip strip(int positions, boolean showsHidden) {
        List<Position> list = new ArrayList<>();
        for (int i = 0; i < positions; i++) {
            Kind kind = i < 4
                    ? Kind.STANDARD
                    : i == 4 || i > 7 && (i - 8) % 21 == 20
                            ? Kind.KNOWN_SOLUTION
                            : i == 5 || i == 6
                                    ? Kind.BLANK
                                    : i == 7
                                            ? Kind.OPEN_CONTROL
                                            : i == 38 || i == 90 || i == 140 || i == 199
                                                    ? Kind.HIDDEN_CONTROL
                                                    : Kind.SOIL;
            double share = switch (kind) {
                case STANDARD -> 0.1 + 0.28 * i;
                case KNOWN_SOLUTION -> i > 150 ? 0.55 : 0.7;
                case BLANK -> 0.02;
                default -> 0.45 + 0.3 * Math.sin(i * 1.7) * Math.cos(i * 0.37);
            };
            boolean bad = i > 150 && i < 214 && kind != Kind.BLANK;
            boolean read = positions > 300 || i < 214;
            list.add(new Position(
                    i + 1,
                    kind,
                    read ? OptionalDouble.of(share) : OptionalDouble.empty(),
                    bad ? (i == 199 ? Verdict.HOLD : Verdict.REDO) : i >= 60 && i < 72 ? Verdict.HOLD : Verdict.FIT,
                    kind == Kind.SOIL || kind == Kind.HIDDEN_CONTROL ? "26329-" + (1000 + i) : ""));
        }
        List<TrayStretch> trays = new ArrayList<>();
        for (int t = 0; 8 + t * 12 < positions; t++) {
            trays.add(new TrayStretch("0" + (181 + t), 9 + t * 12, 20 + t * 12));
        }
        return new Strip(
                "Mehlich-3 by plasma 3, run 3",
                list,
                List.of(
                        new Bracket(61, 72, Verdict.HOLD, "12 soils, tray turned"),
                        new Bracket(151, 214, Verdict.REDO, "46 soils, redo K and Mg"),
                        new Bracket(190, 214, Verdict.HOLD, "control outside its limits, hold Zn")),
                trays,
                showsHidden);
    }

    static List<Line> lines() {
        List<Line> lines = new ArrayList<>();
        String[] names = {"K", "Mg", "Ca", "P"};
        double[] drifts = {-9, -8.5, -1.2, 0.4};
        for (int e = 0; e < 4; e++) {
            List<Check> checks = new ArrayList<>();
            for (int i = 0; i < 11; i++) {
                double percent = 100 + drifts[e] * 1.3 * Math.pow(i / 10.0, 1.4) + 0.6 * Math.sin(i * 9.1 + e);
                checks.add(new Check(5 + 21 * i, percent, percent < 90 ? Verdict.REDO : Verdict.FIT));
            }
            boolean bad = drifts[e] < -5;
            lines.add(new Line(
                    names[e],
                    checks,
                    90,
                    110,
                    bad ? Verdict.REDO : Verdict.FIT,
                    bad ? "fell 11 %, sensitivity" : "within 10 %"));
        }
        return lines;
    }

    static Calibration calibration() {
        return new Calibration(
                "K 766.490 on plasma 3",
                "mg/L",
                "ratio to internal standard",
                List.of(
                        new Standard(0, 0.0031, OptionalDouble.empty(), Verdict.FIT),
                        new Standard(5, 0.1386, OptionalDouble.of(0.8), Verdict.FIT),
                        new Standard(20, 0.5372, OptionalDouble.of(-0.6), Verdict.FIT),
                        new Standard(50, 1.2702, OptionalDouble.of(-5.7), Verdict.REDO),
                        new Standard(100, 2.6902, OptionalDouble.of(0.2), Verdict.FIT)),
                OptionalDouble.of(5));
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
        page.append("</div>")
                .append(StripDrawing.legend(true, palette))
                .append(StripDrawing.of(strip(252, true), 1390, palette))
                .append(StripDrawing.of(strip(252, false), 772, palette))
                .append(StripDrawing.of(strip(40, true), 772, palette))
                .append(StripDrawing.of(strip(700, true), 1390, palette))
                .append("<div class=row>")
                .append(LinesDrawing.of("Lines, against the calibration's start", lines(), 252, 900, palette))
                .append(CalibrationDrawing.of(calibration(), x -> 0.00312 + 0.026871 * x, 420, palette))
                .append("</div><div class=row>");
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
