package org.tenmesh.proof.mutate;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Random;

/**
 * One mistake in one day.
 *
 * @param day name of the day it is made in
 * @param file the file it is made in
 * @param field the column, empty text where it concerns rows or the whole file
 * @param seed decides what is left to chance, such as the row
 */
record Mutation(String day, String file, String field, Mistake mistake, long seed) {
    /** Every mistake that can be made in a day: of every field of every file. */
    static List<Mutation> all(String day, Folder folder, long seed) {
        List<Mutation> all = new ArrayList<>();
        for (String file : folder.files.keySet()) {
            boolean table = file.endsWith(".csv");
            for (Mistake mistake : Mistake.values()) {
                switch (mistake.scope) {
                    case CELL, COLUMN -> {
                        if (table) {
                            folder.sheet(file)
                                    .header
                                    .forEach(field -> all.add(new Mutation(day, file, field, mistake, seed)));
                        }
                    }
                    case ROW -> {
                        if (table) {
                            all.add(new Mutation(day, file, "", mistake, seed));
                        }
                    }
                    case FILE -> all.add(new Mutation(day, file, "", mistake, seed));
                    case SETTINGS -> {
                        if (file.equals("laboratory.yaml")) {
                            all.add(new Mutation(day, file, "", mistake, seed));
                        }
                    }
                }
            }
        }
        return all;
    }

    /** The folder with the mistake in it; empty where it would change nothing. */
    Optional<Folder> in(Folder folder) {
        Folder changed = folder.copy();
        Mistake.Place place = new Mistake.Place(
                changed,
                file,
                field,
                new Random(seed * 31 + Arrays.hashCode(new Object[] {day, file, field, mistake.name()})));
        boolean rows = mistake.scope == Mistake.Scope.CELL
                || mistake.scope == Mistake.Scope.COLUMN
                || mistake.scope == Mistake.Scope.ROW;
        if (rows && place.sheet.rows.isEmpty() || !mistake.make(place)) {
            return Optional.empty();
        }
        if (rows) {
            changed.files.put(file, place.sheet.bytes());
        }
        return Optional.of(changed);
    }

    /** The kind of file, for tables: all files of readings are one. */
    String kindOfFile() {
        return file.startsWith("readings/") ? "readings" : file;
    }

    /** As it is written among the failing ones, to be made again. */
    String written() {
        return String.join("|", day, file, field, mistake.name().toLowerCase(Locale.ROOT), Long.toString(seed));
    }

    static Mutation parse(String written) {
        String[] parts = written.split("\\|", -1);
        if (parts.length != 5) {
            throw new IllegalArgumentException("a mutation is DAY|FILE|FIELD|MISTAKE|SEED, found " + written);
        }
        return new Mutation(
                parts[0],
                parts[1],
                parts[2],
                Mistake.valueOf(parts[3].toUpperCase(Locale.ROOT)),
                Long.parseLong(parts[4]));
    }
}
