package org.tenmesh.exchange.day;

import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.core.reduction.Readings;
import org.tenmesh.core.reduction.Role;
import org.tenmesh.exchange.csv.CsvFile;
import org.tenmesh.exchange.csv.ExtraColumns;
import org.tenmesh.exchange.file.FileProblems;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.file.Spelling;
import org.tenmesh.exchange.file.TextFile;

/**
 * One file of readings. Plain files, which is nearly all, go through {@link PlainReadings}; whatever that cannot take is
 * read again by the careful way here, which knows quotes, other letters, unknown columns and exact messages.
 */
final class ReadingsFile {
    private final FileProblems problems;
    private Optional<Readings> readings = Optional.empty();
    private Optional<ExtraColumns> extras = Optional.empty();
    private final List<Problem> asides = new ArrayList<>();
    private int inFile;
    // Line of each row; empty while row i stands on line i + 2.
    private int[] lines = {};

    private ReadingsFile(FileProblems problems) {
        this.problems = problems;
    }

    /** Reads the bytes of one file; a file with problems has no readings. */
    static ReadingsFile parse(String name, String consequence, byte[] bytes) {
        ReadingsFile file = new ReadingsFile(new FileProblems(name, consequence));
        file.inFile = CsvFile.rows(bytes);
        file.readings = PlainReadings.parse(bytes);
        if (file.readings.isEmpty()) {
            TextFile.decode(bytes, name, file.problems.told(), consequence).ifPresent(file::carefully);
        }
        if (file.readings.isPresent()) {
            file.checkOrder(file.readings.get());
        }
        return file.settled();
    }

    static ReadingsFile unreadable(String name, String consequence, List<Problem> why) {
        ReadingsFile file = new ReadingsFile(new FileProblems(name, consequence));
        file.problems.told().addAll(why);
        return file;
    }

    Optional<Readings> readings() {
        return readings;
    }

    Optional<ExtraColumns> extras() {
        return extras;
    }

    List<Problem> problems() {
        return problems.all();
    }

    /** Rows counted in the file, whether they could be taken or not. */
    int inFile() {
        return inFile;
    }

    /** Why its readings are not taken. */
    Optional<Problem> refused() {
        return problems.first();
    }

    /** Problems that do not cost the readings. */
    List<Problem> asides() {
        return asides;
    }

    private ReadingsFile settled() {
        if (!problems.none()) {
            readings = Optional.empty();
            extras = Optional.empty();
        }
        return this;
    }

    private void carefully(String text) {
        Optional<CsvFile> opened = CsvFile.open(text, ReadingsColumns.REQUIRED, problems);
        if (opened.isEmpty()) {
            return;
        }
        CsvFile csv = opened.get();
        List<String> beyond = csv.columnsBeyond(new HashSet<>(ReadingsColumns.ALL));
        asides.addAll(csv.misspelt(problems.file(), ReadingsColumns.ALL));
        ExtraColumns.Builder kept = new ExtraColumns.Builder(beyond);
        Readings.Builder builder = Readings.builder();
        int[] count = {0};
        lines = new int[1024];
        csv.forEach(row -> {
            int position = row.optionalWhole("position", 1).orElse(0);
            if (row.text("position").isEmpty() || position > ReadingsColumns.MOST_POSITIONS) {
                if (position > 0) {
                    row.wrong("position", "a whole number from 1 to " + ReadingsColumns.MOST_POSITIONS);
                }
                position = 0;
            }
            String word = row.text("role");
            Optional<Role> role = Role.of(word);
            if (role.isEmpty() && !word.isEmpty()) {
                row.wrong("role", "one of standard, verification, blank, control, sample, duplicate, wash");
            }
            String identity = row.text("identity");
            String quantity = row.text("quantity");
            OptionalDouble value = row.text("value").isEmpty() ? OptionalDouble.empty() : row.optionalNumber("value");
            var unit = row.unit("unit");
            OffsetDateTime at = row.time("at");
            double dilution = row.optionalNumber("dilution").orElse(1);
            if (dilution < 1) {
                row.wrong("dilution", "a factor of 1 or more");
            }
            if (problems.none()) {
                builder.add(
                        position,
                        role.orElseThrow(),
                        identity,
                        row.cell("channel"),
                        quantity,
                        value.orElseThrow(),
                        unit,
                        at,
                        dilution);
                if (count[0] == lines.length) {
                    lines = Arrays.copyOf(lines, lines.length * 2);
                }
                lines[count[0]] = row.line();
                if (!beyond.isEmpty()) {
                    kept.put(Integer.toString(count[0]), row.cells(beyond));
                }
                count[0]++;
            }
        });
        if (problems.none()) {
            readings = Optional.of(builder.build());
            extras = beyond.isEmpty() ? Optional.empty() : Optional.of(kept.build());
        }
    }

    /** The line of the file on which a row of readings stands. */
    int line(int row) {
        return row < lines.length && lines[row] > 0 ? lines[row] : row + 2;
    }

    /**
     * Within one quantity and channel, a later position must not have an earlier time; and one position is one vessel, with
     * one role and one identity.
     */
    private void checkOrder(Readings rows) {
        int channels = Math.max(1, rows.channels().size());
        int series = channels * Math.max(1, rows.quantities().size());
        int[] lastRow = new int[series];
        Arrays.fill(lastRow, -1);
        int[] firstRowOf = new int[256];
        for (int i = 0; i < rows.size(); i++) {
            int position = rows.position(i);
            if (position >= firstRowOf.length) {
                firstRowOf = Arrays.copyOf(firstRowOf, Math.max(position + 1, firstRowOf.length * 2));
            }
            int first = firstRowOf[position] - 1;
            if (first < 0) {
                firstRowOf[position] = i + 1;
            } else if (rows.identityCode(first) != rows.identityCode(i) || rows.role(first) != rows.role(i)) {
                problems.add(
                        line(i),
                        "identity",
                        rows.role(i).word() + " " + Problem.quoted(rows.identity(i)) + " at position " + position,
                        rows.role(first).word() + " " + Problem.quoted(rows.identity(first)) + " as on line "
                                + line(first));
            }
            int one = rows.quantityCode(i) * channels + rows.channelCode(i);
            int last = lastRow[one];
            lastRow[one] = i;
            if (last >= 0) {
                long forward = rows.atMillis(i) - rows.atMillis(last);
                int onward = position - rows.position(last);
                if (forward < 0 && onward >= 0 || forward > 0 && onward < 0) {
                    problems.add(
                            line(i),
                            "at",
                            rows.at(i) + " at position " + position,
                            "a time " + (onward < 0 ? "not after " : "not before ") + rows.at(last) + " of position "
                                    + rows.position(last) + " on line " + line(last));
                }
            }
        }
    }

    /** Checks that everything named in the file is known to the day. */
    void checkReferences(References known, String method) {
        if (readings.isEmpty()) {
            return;
        }
        Readings rows = readings.get();
        byte[] seen = new byte[rows.identities().size()];
        for (int i = 0; i < rows.size(); i++) {
            int bit = 1 << rows.role(i).ordinal();
            int code = rows.identityCode(i);
            if ((seen[code] & bit) == 0) {
                seen[code] |= (byte) bit;
                String identity = rows.identity(i);
                Optional<String> expected = known.expected(rows.role(i), identity, method);
                if (expected.isPresent()) {
                    problems.add(
                            line(i),
                            "identity",
                            rows.role(i).word() + " " + Problem.quoted(identity) + " at position " + rows.position(i),
                            expected.get());
                }
            }
        }
        settled();
    }

    /** Checks that every quantity has the unit in which the method of its run takes it. */
    void checkUnits(Method method) {
        readings.ifPresent(rows -> RunUse.wrongUnits(rows, method)
                .forEach(row -> problems.add(
                        line(row),
                        "unit",
                        Problem.quoted(rows.unit(row).ucum()) + " for " + Problem.quoted(rows.quantity(row)),
                        RunUse.unit(rows, method, row).map(Unit::ucum).orElse("") + ", in which method " + method.id()
                                + " takes it")));
        settled();
    }

    /**
     * What the other files of the day name; a file that could not be taken is not held against the readings.
     *
     * @param standards names by method
     * @param known what earlier folders brought under the register
     */
    record References(
            Optional<Set<String>> labNumbers,
            Optional<Set<String>> materials,
            Optional<Map<String, Set<String>>> standards,
            Known known,
            String register) {
        /** What should have been there, or empty when the identity is known. */
        Optional<String> expected(Role role, String identity, String method) {
            return switch (role) {
                case SAMPLE, DUPLICATE ->
                    unless(
                            labNumbers.isEmpty()
                                    || labNumbers.get().contains(identity)
                                    || !identity.isEmpty()
                                            && identity.length() <= 32
                                            && known.labNumber(register, new LabNumber(identity)),
                            "a lab number of samples.csv or controls.csv",
                            identity,
                            labNumbers);
                case CONTROL ->
                    unless(
                            materials.isEmpty()
                                    || materials.get().contains(identity)
                                    || known.material(register, identity),
                            "a material of materials.csv",
                            identity,
                            materials);
                case STANDARD, VERIFICATION ->
                    unless(
                            standards.isEmpty()
                                    || standards
                                            .get()
                                            .getOrDefault(method, Set.of())
                                            .contains(identity)
                                    || known.standard(register, method, identity),
                            "a standard of method " + method + " in standards.csv",
                            identity,
                            standards.map(all -> all.getOrDefault(method, Set.of())));
                case BLANK, WASH -> Optional.empty();
            };
        }

        private static Optional<String> unless(
                boolean known, String expected, String identity, Optional<Set<String>> names) {
            return known
                    ? Optional.empty()
                    : Optional.of(expected
                            // Between numbers a letter is no slip: buffer 9.00 is not meant for 5.00.
                            + names.filter(all -> identity.chars().anyMatch(Character::isLetter))
                                    .flatMap(all -> Spelling.closest(identity, all))
                                    .map(close -> ", such as " + Problem.quoted(close))
                                    .orElse(""));
        }
    }
}
