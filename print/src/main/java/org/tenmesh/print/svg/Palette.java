package org.tenmesh.print.svg;

import java.util.regex.Pattern;

/**
 * Where a drawing takes its colours from. On screen each colour is a custom property of the page, so that light and dark
 * follow the reader; the fallback after it is the light colour. On paper it is that light colour itself.
 */
public enum Palette {
    SCREEN,
    PAPER;

    private static final Pattern PROPERTY = Pattern.compile("var\\(--[a-z-]+,(#[0-9a-f]{6})\\)");

    /** What a colour is for. */
    public enum Tone {
        GROUND("ground", "#fbfbf8"),
        RAISED("raised", "#ffffff"),
        INK("ink", "#1c2321"),
        QUIET("quiet", "#5d6863"),
        HAIR("hair", "#dde2dc"),
        WELL("well", "#c9d0ca"),
        ACT("act", "#0a5c63"),
        ACT_GROUND("act-ground", "#e6f0f0"),
        HOLD("hold", "#9a5b00"),
        HOLD_GROUND("hold-ground", "#fdf1dc"),
        REDO("redo", "#a3231c"),
        REDO_GROUND("redo-ground", "#fbe6e3");

        private final String property;
        private final String light;

        Tone(String property, String light) {
            this.property = property;
            this.light = light;
        }
    }

    /** A drawing for the screen with the colours of paper. */
    public static String onPaper(String drawing) {
        return PROPERTY.matcher(drawing).replaceAll("$1");
    }

    /** The colour as SVG takes it. */
    public String of(Tone tone) {
        return this == SCREEN ? "var(--" + tone.property + "," + tone.light + ")" : tone.light;
    }
}
