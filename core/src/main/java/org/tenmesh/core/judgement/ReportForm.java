package org.tenmesh.core.judgement;

import java.util.Optional;

/**
 * How a client's report looks. What it says does not depend on it.
 *
 * @param paper the sheet it is printed on, across
 * @param layout how its soils stand on it
 */
public record ReportForm(Paper paper, Layout layout) {
    /** A sheet. */
    public enum Paper {
        A4("a4"),
        LETTER("letter");

        private final String word;

        Paper(String word) {
            this.word = word;
        }

        /** As settings and the store name it. */
        public String word() {
            return word;
        }

        /** The paper of this name, or empty. */
        public static Optional<Paper> of(String word) {
            for (Paper paper : values()) {
                if (paper.word.equals(word)) {
                    return Optional.of(paper);
                }
            }
            return Optional.empty();
        }
    }

    /** How soils stand on a report. */
    public enum Layout {
        /** One table: soils down, results across. */
        TABLE("table", "one table"),
        /** Each soil on a page of its own, results down. */
        SOIL_PAGES("soil-pages", "one page for each soil");

        private final String word;
        private final String phrase;

        Layout(String word, String phrase) {
            this.word = word;
            this.phrase = phrase;
        }

        /** As settings and the store name it. */
        public String word() {
            return word;
        }

        /** In plain words. */
        public String phrase() {
            return phrase;
        }

        /** The layout of this name, or empty. */
        public static Optional<Layout> of(String word) {
            for (Layout layout : values()) {
                if (layout.word.equals(word)) {
                    return Optional.of(layout);
                }
            }
            return Optional.empty();
        }
    }

    /** One table on A4. */
    public static ReportForm defaults() {
        return new ReportForm(Paper.A4, Layout.TABLE);
    }

    /** The same paper with another layout. */
    public ReportForm with(Layout other) {
        return new ReportForm(paper, other);
    }
}
