package org.tenmesh.proof.mutate;

import java.nio.charset.StandardCharsets;
import java.time.DateTimeException;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.function.UnaryOperator;

/** One way in which a day folder comes to be wrong. */
enum Mistake {
    // One cell.
    EMPTY(Scope.CELL, cell(text -> "")),
    TEXT(Scope.CELL, cell(text -> "abc")),
    NAN(Scope.CELL, cell(text -> "NaN")),
    INFINITY(Scope.CELL, cell(text -> "Infinity")),
    BEYOND_NUMBERS(Scope.CELL, cell(text -> "1e400")),
    HUGE(Scope.CELL, number(value -> 1e12)),
    LARGEST(Scope.CELL, number(value -> 1e15)),
    TINY(Scope.CELL, number(value -> 1e-300)),
    NEGATIVE(Scope.CELL, number(value -> -value)),
    ZERO(Scope.CELL, number(value -> 0)),
    TEN_TIMES(Scope.CELL, number(value -> value * 10)),
    THOUSAND_TIMES(Scope.CELL, number(value -> value * 1000)),
    A_HUNDREDTH(Scope.CELL, number(value -> value / 100)),
    DECIMAL_COMMA(Scope.CELL, cell(text -> text.contains(".") ? text.replace('.', ',') : text)),
    WITH_ITS_UNIT(Scope.CELL, cell(text -> text + " mg/L")),
    BLANK_BEFORE(Scope.CELL, cell(text -> text.isEmpty() ? text : " " + text)),
    BLANK_AFTER(Scope.CELL, cell(text -> text.isEmpty() ? text : text + " ")),
    UPPER_CASE(Scope.CELL, cell(text -> text.toUpperCase(Locale.ROOT))),
    LOWER_CASE(Scope.CELL, cell(text -> text.toLowerCase(Locale.ROOT))),
    LETTER_LEFT_OUT(Scope.CELL, cell(Mistake::shorter)),
    LETTERS_EXCHANGED(Scope.CELL, cell(Mistake::exchanged)),
    CONTROL_CHARACTER(Scope.CELL, cell(text -> text + "\u0001")),
    VERY_LONG(Scope.CELL, cell(text -> "x".repeat(5000))),
    FORMULA(Scope.CELL, cell(text -> "=1+1")),
    CELL_BELOW((Scope.CELL), (place) -> place.takeFrom(place.row + 1)),
    CELL_OF_ANOTHER_ROW(Scope.CELL, place -> place.takeFrom(place.chance.nextInt(place.sheet.rows.size()))),
    OTHER_UNIT(Scope.CELL, Mistake::otherUnit),
    AN_HOUR_LATER(Scope.CELL, time(at -> at.plusHours(1))),
    A_DAY_LATER(Scope.CELL, time(at -> at.plusDays(1))),
    A_YEAR_EARLIER(Scope.CELL, time(at -> at.minusYears(1))),
    YEAR_1970(Scope.CELL, time(at -> at.withYear(1970))),
    YEAR_2999(Scope.CELL, time(at -> at.withYear(2999))),
    OTHER_OFFSET_SAME_CLOCK(Scope.CELL, time(at -> at.withOffsetSameLocal(ZoneOffset.ofHours(5)))),
    OTHER_OFFSET_SAME_INSTANT(Scope.CELL, time(at -> at.withOffsetSameInstant(ZoneOffset.ofHours(5)))),
    NO_OFFSET(Scope.CELL, cell(text -> isTime(text) ? text.replaceAll("(Z|[+-]\\d\\d:\\d\\d)$", "") : text)),
    // One word of a column, wherever it stands.
    WORD_MISSPELT_EVERYWHERE(Scope.COLUMN, place -> place.everywhere(Mistake::shorter)),
    WORD_IN_CAPITALS_EVERYWHERE(Scope.COLUMN, place -> place.everywhere(text -> text.toUpperCase(Locale.ROOT))),
    WORD_IS_ANOTHER_EVERYWHERE(Scope.COLUMN, Mistake::anotherWord),
    ROWS_OF_A_WORD_DELETED(Scope.COLUMN, Mistake::withoutWord),
    // A column.
    COLUMN_DELETED(Scope.COLUMN, Mistake::withoutColumn),
    COLUMN_MISSPELT(Scope.COLUMN, place -> place.heading(shorter(place.field))),
    COLUMN_IN_CAPITALS(Scope.COLUMN, place -> place.heading(place.field.toUpperCase(Locale.ROOT))),
    COLUMN_WITH_ANOTHER_NAME(Scope.COLUMN, place -> place.heading("remarks")),
    COLUMN_TWICE(Scope.COLUMN, place -> place.heading(place.sheet.header.get(place.other()))),
    COLUMN_EMPTY(Scope.COLUMN, place -> place.all(text -> "")),
    COLUMN_TEN_TIMES(Scope.COLUMN, place -> place.all(text -> times(text, 10))),
    COLUMN_A_THOUSANDTH(Scope.COLUMN, place -> place.all(text -> times(text, 0.001))),
    COLUMN_ALL_ZERO(Scope.COLUMN, place -> place.all(text -> times(text, 0))),
    COLUMN_ALL_AS_THE_FIRST(Scope.COLUMN, place -> {
        String first = place.sheet.cell(0, place.field);
        return place.all(text -> first);
    }),
    COLUMN_SHIFTED_DOWN(Scope.COLUMN, Mistake::shiftedDown),
    COLUMN_A_DAY_LATER(Scope.COLUMN, place -> place.all(text -> moved(text, at -> at.plusDays(1)))),
    COLUMN_A_YEAR_EARLIER(Scope.COLUMN, place -> place.all(text -> moved(text, at -> at.minusYears(1)))),
    COLUMN_FIVE_HOURS_LATER(Scope.COLUMN, place -> place.all(text -> moved(text, at -> at.plusHours(5)))),
    COLUMN_OTHER_OFFSET_SAME_INSTANT(
            Scope.COLUMN,
            place -> place.all(text -> moved(text, at -> at.withOffsetSameInstant(ZoneOffset.ofHours(-3))))),
    CELLS_EXCHANGED_WITH_ANOTHER_COLUMN(Scope.COLUMN, place -> {
        int other = place.other();
        int own = place.sheet.column(place.field);
        place.sheet.rows.forEach(row -> Collections.swap(row, own, other));
        return true;
    }),
    HEADINGS_EXCHANGED(Scope.COLUMN, place -> {
        Collections.swap(place.sheet.header, place.sheet.column(place.field), place.other());
        return true;
    }),
    COLUMN_MOVED(Scope.COLUMN, place -> {
        int other = place.other();
        int own = place.sheet.column(place.field);
        Collections.swap(place.sheet.header, own, other);
        place.sheet.rows.forEach(row -> Collections.swap(row, own, other));
        return true;
    }),
    // Rows.
    ROW_DELETED(Scope.ROW, place -> place.sheet.rows.remove(place.row) != null),
    ROW_TWICE(Scope.ROW, place -> place.sheet.rows.add(new ArrayList<>(place.sheet.rows.get(place.row)))),
    ROW_TWICE_IN_PLACE(Scope.ROW, place -> {
        place.sheet.rows.add(place.row, new ArrayList<>(place.sheet.rows.get(place.row)));
        return true;
    }),
    ROW_EXCHANGED_WITH_THE_NEXT(Scope.ROW, place -> {
        if (place.row + 1 >= place.sheet.rows.size()) {
            return false;
        }
        Collections.swap(place.sheet.rows, place.row, place.row + 1);
        return true;
    }),
    ROW_MOVED_TO_THE_END(Scope.ROW, place -> place.sheet.rows.add(place.sheet.rows.remove(place.row))),
    ROW_SHIFTED_LEFT(Scope.ROW, place -> {
        List<String> row = place.sheet.rows.get(place.row);
        row.add(row.remove(0));
        return true;
    }),
    ROW_SHIFTED_RIGHT(Scope.ROW, place -> {
        List<String> row = place.sheet.rows.get(place.row);
        row.add(0, row.remove(row.size() - 1));
        return true;
    }),
    ROW_CUT_SHORT(Scope.ROW, place -> place.sheet.rows.get(place.row).remove(0) != null),
    ROW_OF_NOTHING(Scope.ROW, place -> {
        place.sheet.rows.get(place.row).replaceAll(cell -> "");
        return true;
    }),
    LAST_ROWS_MISSING(Scope.ROW, place -> {
        place.sheet.rows.subList(place.row, place.sheet.rows.size()).clear();
        return true;
    }),
    FIRST_ROWS_MISSING(Scope.ROW, place -> {
        place.sheet.rows.subList(0, place.row + 1).clear();
        return true;
    }),
    HEADER_ALONE(Scope.ROW, place -> {
        place.sheet.rows.clear();
        return true;
    }),
    HEADER_MISSING(Scope.ROW, place -> {
        List<String> first = place.sheet.rows.remove(0);
        place.sheet.header.clear();
        place.sheet.header.addAll(first);
        return true;
    }),
    HEADER_IN_THE_MIDDLE(Scope.ROW, place -> {
        place.sheet.rows.add(place.row, new ArrayList<>(place.sheet.header));
        return true;
    }),
    ROWS_REVERSED(Scope.ROW, place -> {
        Collections.reverse(place.sheet.rows);
        return place.sheet.rows.size() > 1;
    }),
    ROWS_SHUFFLED(Scope.ROW, place -> {
        Collections.shuffle(place.sheet.rows, place.chance);
        return place.sheet.rows.size() > 1;
    }),
    ROWS_TWICE(Scope.ROW, place -> {
        List<List<String>> again = new ArrayList<>();
        place.sheet.rows.forEach(row -> again.add(new ArrayList<>(row)));
        return place.sheet.rows.addAll(again);
    }),
    // The file.
    FILE_MISSING(Scope.FILE, place -> place.folder.files.remove(place.file) != null),
    FILE_EMPTY(Scope.FILE, place -> place.bytes(new byte[0])),
    FILE_CUT(Scope.FILE, place -> {
        byte[] bytes = place.bytes();
        return bytes.length > 1
                && place.bytes(java.util.Arrays.copyOf(bytes, 1 + place.chance.nextInt(bytes.length - 1)));
    }),
    BYTE_ORDER_MARK(Scope.FILE, place -> place.text("\ufeff" + place.text())),
    WINDOWS_LINE_ENDS(Scope.FILE, place -> place.text(place.text().replace("\n", "\r\n"))),
    OLD_MAC_LINE_ENDS(Scope.FILE, place -> place.text(place.text().replace("\n", "\r"))),
    SEMICOLONS(Scope.FILE, place -> place.text(place.text().replace(",", ";"))),
    TABS(Scope.FILE, place -> place.text(place.text().replace(",", "\t"))),
    UTF_16(Scope.FILE, place -> place.bytes(place.text().getBytes(StandardCharsets.UTF_16))),
    LATIN_1(Scope.FILE, place -> {
        String text = place.text();
        int at = place.chance.nextInt(text.length() + 1);
        return place.bytes(
                (text.substring(0, at) + "\u00e9" + text.substring(at)).getBytes(StandardCharsets.ISO_8859_1));
    }),
    NUL_BYTE(Scope.FILE, place -> {
        byte[] bytes = place.bytes().clone();
        if (bytes.length == 0) {
            return false;
        }
        bytes[place.chance.nextInt(bytes.length)] = 0;
        return place.bytes(bytes);
    }),
    ONE_BYTE_OTHER(Scope.FILE, place -> {
        byte[] bytes = place.bytes().clone();
        if (bytes.length == 0) {
            return false;
        }
        bytes[place.chance.nextInt(bytes.length)] = (byte) (' ' + place.chance.nextInt(95));
        return place.bytes(bytes);
    }),
    OPEN_QUOTE(Scope.FILE, place -> {
        String text = place.text();
        int at = text.isEmpty() ? 0 : place.chance.nextInt(text.length());
        return place.text(text.substring(0, at) + "\"" + text.substring(at));
    }),
    NO_END_OF_LINE(Scope.FILE, place -> place.text(place.text().stripTrailing())),
    A_REMARK_BEFORE(Scope.FILE, place -> place.text("exported by hand\n" + place.text())),
    BLANK_LINES(Scope.FILE, place -> place.text(place.text().replace("\n", "\n\n"))),
    TWICE_IN_ONE_FILE(Scope.FILE, place -> place.text(place.text() + place.text())),
    FOLDER_INSTEAD(Scope.FILE, place -> place.odd(Folder.Odd.FOLDER)),
    LINK_OUTSIDE(Scope.FILE, place -> place.odd(Folder.Odd.LINK_OUTSIDE)),
    LINK_TO_ITSELF(Scope.FILE, place -> place.odd(Folder.Odd.LINK_TO_ITSELF)),
    PIPE_INSTEAD(Scope.FILE, place -> place.odd(Folder.Odd.PIPE)),
    NAME_MISSPELT(Scope.FILE, place -> place.named(place.stem(Mistake::shorter))),
    NAME_IN_CAPITALS(Scope.FILE, place -> place.named(place.stem(stem -> stem.toUpperCase(Locale.ROOT)))),
    NAME_WITH_ANOTHER_ENDING(Scope.FILE, place -> place.named(place.file.replaceAll("\\.[a-z]+$", ".txt"))),
    ENDING_IN_CAPITALS(Scope.FILE, place -> {
        int dot = place.file.lastIndexOf('.');
        return place.named(
                place.file.substring(0, dot) + place.file.substring(dot).toUpperCase(Locale.ROOT));
    }),
    IN_ANOTHER_FOLDER(Scope.FILE, place -> place.named("old/" + place.file)),
    A_COPY_BESIDE(Scope.FILE, place -> {
        place.folder.files.put(place.stem(stem -> stem + " (copy)"), place.bytes());
        return true;
    }),
    // Lines of laboratory.yaml.
    LINE_DELETED(Scope.SETTINGS, place -> place.line(line -> "")),
    KEY_MISSPELT(Scope.SETTINGS, place -> place.line(line -> line.replaceFirst("([a-z])([a-z_]*):", "$2:"))),
    VALUE_OTHER(Scope.SETTINGS, place -> place.line(line -> line.replaceFirst(": .*", ": \"abc\""))),
    VALUE_A_LIST(Scope.SETTINGS, place -> place.line(line -> line.replaceFirst(": .*", ": [1, 2]"))),
    VALUE_EMPTY(Scope.SETTINGS, place -> place.line(line -> line.replaceFirst(": .*", ":"))),
    LINE_TWICE(Scope.SETTINGS, place -> place.line(line -> line + "\n" + line)),
    INDENTED_BY_TAB(Scope.SETTINGS, place -> place.line(line -> "\t" + line)),
    NESTED_DEEPLY(Scope.SETTINGS, place -> place.text("name: " + "[".repeat(5000)));

    /** Where a mistake is made. */
    enum Scope {
        CELL,
        COLUMN,
        ROW,
        FILE,
        SETTINGS
    }

    /** Makes the mistake; false where it changes nothing. */
    interface Change {
        boolean make(Place place);
    }

    private static final List<String> UNITS = List.of(
            "mV", "Cel", "g", "mL", "mS/cm", "mg/L", "mg/kg", "g/kg", "cmol/kg", "%", "[pH]", "/s", "{A}", "kg");

    final Scope scope;
    private final Change change;

    Mistake(Scope scope, Change change) {
        this.scope = scope;
        this.change = change;
    }

    boolean make(Place place) {
        return change.make(place);
    }

    String words() {
        return name().toLowerCase(Locale.ROOT).replace('_', ' ');
    }

    private static Change cell(UnaryOperator<String> change) {
        return place -> place.cell(change);
    }

    private static Change number(java.util.function.DoubleUnaryOperator change) {
        return place -> place.cell(text -> {
            try {
                return plain(change.applyAsDouble(Double.parseDouble(text)));
            } catch (NumberFormatException notNumber) {
                return text;
            }
        });
    }

    private static String plain(double value) {
        return Math.abs(value) < 1e15 && Math.abs(value) > 1e-6 || value == 0
                ? new java.math.BigDecimal(value)
                        .round(new java.math.MathContext(12))
                        .stripTrailingZeros()
                        .toPlainString()
                : Double.toString(value);
    }

    private static String times(String text, double factor) {
        try {
            return plain(Double.parseDouble(text) * factor);
        } catch (NumberFormatException notNumber) {
            return text;
        }
    }

    private static Change time(UnaryOperator<OffsetDateTime> change) {
        return place -> place.cell(text -> moved(text, change));
    }

    private static boolean isTime(String text) {
        return !moved(text, at -> at.plusSeconds(1)).equals(text);
    }

    private static String moved(String text, UnaryOperator<OffsetDateTime> change) {
        try {
            if (text.length() == 10) {
                OffsetDateTime at = change.apply(OffsetDateTime.parse(text + "T12:00:00Z"));
                return at.toLocalDate().toString();
            }
            return change.apply(OffsetDateTime.parse(text)).toString();
        } catch (DateTimeException notTime) {
            return text;
        }
    }

    private static String shorter(String text) {
        return text.length() < 2 ? text : text.substring(0, text.length() / 2) + text.substring(text.length() / 2 + 1);
    }

    private static String exchanged(String text) {
        int at = text.length() / 2;
        return text.length() < 2
                ? text
                : text.substring(0, at - 1) + text.charAt(at) + text.charAt(at - 1) + text.substring(at + 1);
    }

    private static boolean otherUnit(Place place) {
        return place.cell(text -> {
            if (!UNITS.contains(text)) {
                return text;
            }
            return UNITS.get((UNITS.indexOf(text) + 1 + place.chance.nextInt(UNITS.size() - 1)) % UNITS.size());
        });
    }

    private static boolean anotherWord(Place place) {
        List<String> words = place.words();
        if (words.size() < 2) {
            return false;
        }
        String one = words.get(place.chance.nextInt(words.size()));
        String other = words.get((words.indexOf(one) + 1 + place.chance.nextInt(words.size() - 1)) % words.size());
        return place.all(text -> text.equals(one) ? other : text);
    }

    private static boolean withoutWord(Place place) {
        List<String> words = place.words();
        String one = words.get(place.chance.nextInt(words.size()));
        int column = place.sheet.column(place.field);
        return place.sheet.rows.removeIf(row -> row.get(column).equals(one));
    }

    private static boolean withoutColumn(Place place) {
        int column = place.sheet.column(place.field);
        place.sheet.header.remove(column);
        place.sheet.rows.forEach(row -> row.remove(column));
        return true;
    }

    private static boolean shiftedDown(Place place) {
        int column = place.sheet.column(place.field);
        String above = "";
        boolean changed = false;
        for (List<String> row : place.sheet.rows) {
            String own = row.set(column, above);
            changed |= !own.equals(above);
            above = own;
        }
        return changed;
    }

    /** Where in which folder a mistake is made, and what decides what is left to chance. */
    static final class Place {
        final Folder folder;
        final String file;
        final String field;
        final Random chance;
        final Sheet sheet;
        final int row;

        Place(Folder folder, String file, String field, Random chance) {
            this.folder = folder;
            this.file = file;
            this.field = field;
            this.chance = chance;
            sheet = folder.sheet(file);
            row = row(sheet, chance);
        }

        // A row of each role is as likely as one of another: soils are many, and standards few.
        private static int row(Sheet sheet, Random chance) {
            if (sheet.rows.isEmpty()) {
                return 0;
            }
            int any = chance.nextInt(sheet.rows.size());
            if (sheet.column("role") < 0) {
                return any;
            }
            List<String> roles = sheet.rows.stream()
                    .map(row -> row.get(sheet.column("role")))
                    .distinct()
                    .toList();
            String role = roles.get(chance.nextInt(roles.size()));
            while (!sheet.cell(any, "role").equals(role)) {
                any = (any + 1) % sheet.rows.size();
            }
            return any;
        }

        boolean cell(UnaryOperator<String> change) {
            String own = sheet.cell(row, field);
            String other = change.apply(own);
            sheet.set(row, field, other);
            return !other.equals(own);
        }

        boolean takeFrom(int other) {
            return other < sheet.rows.size() && cell(text -> sheet.cell(other, field));
        }

        boolean all(UnaryOperator<String> change) {
            int column = sheet.column(field);
            boolean changed = false;
            for (List<String> cells : sheet.rows) {
                String own = cells.get(column);
                cells.set(column, change.apply(own));
                changed |= !own.equals(cells.get(column));
            }
            return changed;
        }

        boolean everywhere(UnaryOperator<String> change) {
            List<String> words = words();
            String one = words.get(chance.nextInt(words.size()));
            return all(text -> text.equals(one) ? change.apply(text) : text);
        }

        List<String> words() {
            int column = sheet.column(field);
            return sheet.rows.stream()
                    .map(cells -> cells.get(column))
                    .distinct()
                    .toList();
        }

        boolean heading(String name) {
            return !sheet.header.set(sheet.column(field), name).equals(name);
        }

        int other() {
            int own = sheet.column(field);
            return (own + 1 + chance.nextInt(sheet.header.size() - 1)) % sheet.header.size();
        }

        byte[] bytes() {
            byte[] bytes = folder.files.get(file);
            return bytes == null ? new byte[0] : bytes;
        }

        boolean bytes(byte[] bytes) {
            boolean changed = !java.util.Arrays.equals(bytes, bytes());
            folder.files.put(file, bytes);
            return changed;
        }

        String text() {
            return new String(bytes(), StandardCharsets.UTF_8);
        }

        boolean text(String text) {
            return bytes(text.getBytes(StandardCharsets.UTF_8));
        }

        boolean odd(Folder.Odd kind) {
            folder.files.remove(file);
            folder.odd.put(file, kind);
            return true;
        }

        String stem(UnaryOperator<String> change) {
            int from = file.lastIndexOf('/') + 1;
            int dot = file.lastIndexOf('.');
            return file.substring(0, from) + change.apply(file.substring(from, dot)) + file.substring(dot);
        }

        boolean named(String name) {
            if (name.equals(file)) {
                return false;
            }
            folder.files.put(name, bytes());
            folder.files.remove(file);
            return true;
        }

        boolean line(UnaryOperator<String> change) {
            List<String> lines = new ArrayList<>(text().lines().toList());
            int at = chance.nextInt(lines.size());
            lines.set(at, change.apply(lines.get(at)));
            return text(String.join("\n", lines) + "\n");
        }
    }
}
