package org.tenmesh.core.methods;

import java.time.Duration;

/**
 * One step at the bench on the way from the well to the instrument.
 *
 * @param what what is poured, read or looked at, as the hand needs it; empty where the doing says it all
 * @param lasts how long it takes by the method; zero where no time is set
 * @param own whether it is for one method alone, after the portion was made; otherwise it is done once for all methods of the portion
 */
public record BenchStep(Doing doing, String what, Duration lasts, boolean own) {
    public BenchStep {
        if (lasts.isNegative()) {
            throw new IllegalArgumentException("a step lasts no time or some, found " + lasts);
        }
    }

    /** What is done. The word stands in method files. */
    public enum Doing {
        DRY("dry", "Dry"),
        GRIND("grind", "Grind to below 2 mm"),
        LAY_OUT("lay-out", "Lay out in trays"),
        WEIGH_EMPTY("weigh-empty", "Weigh the empty vessels"),
        SCOOP("scoop", "Take the soil"),
        POUR("pour", "Pour"),
        MIX("mix", "Mix"),
        STIR("stir", "Stir"),
        SHAKE("shake", "Shake"),
        STAND("stand", "Let stand"),
        BOIL("boil", "Boil"),
        FILTER("filter", "Filter"),
        DRAW_OFF("draw-off", "Draw off the extract"),
        OVEN("oven", "Into the oven"),
        FURNACE("furnace", "Into the furnace"),
        COOL("cool", "Let cool"),
        WEIGH("weigh", "Weigh"),
        LOOK("look", "Look how the tray lies"),
        FETCH("fetch", "Fetch from the shelf"),
        DILUTE("dilute", "Dilute the kept extracts"),
        READ("read", "Hand over to the instrument");

        private final String word;
        private final String phrase;

        Doing(String word, String phrase) {
            this.word = word;
            this.phrase = phrase;
        }

        /** The word used in method files and in what is kept. */
        public String word() {
            return word;
        }

        /** What a person is told to do. */
        public String phrase() {
            return phrase;
        }
    }
}
