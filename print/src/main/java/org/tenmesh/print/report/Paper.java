package org.tenmesh.print.report;

/** Sheets a report can be set on. */
public enum Paper {
    A4("A4", 210),
    LETTER("letter", 215.9);

    private final String css;
    private final double widthMm;

    Paper(String css, double widthMm) {
        this.css = css;
        this.widthMm = widthMm;
    }

    String css() {
        return css;
    }

    double widthMm() {
        return widthMm;
    }
}
