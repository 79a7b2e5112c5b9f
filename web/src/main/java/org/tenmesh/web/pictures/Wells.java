package org.tenmesh.web.pictures;

import java.util.List;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.print.svg.Palette;
import org.tenmesh.print.svg.Palette.Tone;
import org.tenmesh.print.svg.Svg;
import org.tenmesh.print.svg.Svg.Paint;

/**
 * Trays before and after: what stands in each well as it was read, and as it would be put right.
 *
 * @param plates pairs, the first of each as read
 */
public record Wells(String title, String description, List<Plate> plates) {
    private static final int COLUMNS = 4;
    private static final double CELL_WIDTH = 42;
    private static final double CELL_HEIGHT = 26;
    private static final double NAME = 20;

    /**
     * One plate.
     *
     * @param name above it, such as {@code T0025 as read}
     * @param cells twelve in well order
     */
    public record Plate(String name, List<Cell> cells) {
        public Plate {
            cells = List.copyOf(cells);
        }
    }

    /**
     * One well.
     *
     * @param number what is drawn; NaN where nothing was read
     * @param text the same as text
     * @param moved whether it stands in another well on the other plate
     */
    public record Cell(double number, String text, String title, boolean moved) {}

    public Wells {
        plates = List.copyOf(plates);
    }

    /** As SVG. */
    public String svg() {
        double plateWidth = COLUMNS * CELL_WIDTH;
        int rowsOfPlates = (plates.size() + 1) / 2;
        double plateHeight = NAME + 3 * CELL_HEIGHT + 8;
        double width = 2 * plateWidth + 24;
        Svg svg = Svg.ofPoints(Palette.SCREEN, "wells", width, rowsOfPlates * plateHeight, title, description);
        for (int p = 0; p < plates.size(); p++) {
            double left = p % 2 * (plateWidth + 24);
            double top = p / 2 * plateHeight;
            svg.words(
                    left,
                    top + 13,
                    12,
                    "start",
                    false,
                    Tone.QUIET,
                    plates.get(p).name());
            List<Cell> cells = plates.get(p).cells();
            for (int i = 0; i < cells.size(); i++) {
                cell(
                        svg,
                        cells.get(i),
                        i,
                        left + i % COLUMNS * CELL_WIDTH,
                        top + NAME + i / COLUMNS * CELL_HEIGHT,
                        p % 2 == 0);
            }
            if (p % 2 == 0) {
                svg.words(left + plateWidth + 12, top + NAME + 1.6 * CELL_HEIGHT, 14, "middle", false, Tone.QUIET, "→");
            }
        }
        return svg.end();
    }

    private static void cell(Svg svg, Cell cell, int index, double x, double y, boolean asRead) {
        boolean wrong = cell.moved() && asRead;
        String box = "M" + Svg.number(x + 1) + " " + Svg.number(y + 1) + "h" + Svg.number(CELL_WIDTH - 2) + "v"
                + Svg.number(CELL_HEIGHT - 2) + "h" + Svg.number(2 - CELL_WIDTH) + "z";
        Paint paint = new Paint(
                wrong ? Svg.ground(Verdict.REDO) : Tone.RAISED,
                wrong ? Tone.REDO : Tone.WELL,
                1,
                cell.moved() ? "" : "2 2",
                false);
        svg.point("", box, paint, cell.title(), index, cell.number());
        svg.words(
                x + CELL_WIDTH / 2,
                y + CELL_HEIGHT / 2 + 4,
                12,
                "middle",
                cell.moved(),
                cell.moved() ? Tone.INK : Tone.QUIET,
                cell.text());
    }
}
