package org.tenmesh.exchange.day;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.tenmesh.core.judgement.Material;
import org.tenmesh.core.judgement.Standard;
import org.tenmesh.core.methods.Analyte;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.core.quantity.Unit;
import org.tenmesh.exchange.csv.CsvFile;
import org.tenmesh.exchange.day.TablesRead.Taken;
import org.tenmesh.exchange.file.Numbers;
import org.tenmesh.exchange.file.Spelling;

/**
 * Reads what the laboratory knows beforehand: contents of control materials and of standards. They name a method and no
 * date, so what they say must fit some version of it.
 */
record KnownValues(TablesRead tables, MethodBook methods) {
    /** A standard deviation or tolerance below this stands for none at all: nothing measured could keep it. */
    private static final double LEAST_WIDTH = 1e-12;

    private static final double HIGHEST_PH = 14;
    private static final double MOST_PERCENT = 100;

    Taken<Material> materials() {
        return tables.table(DayTable.MATERIALS, row -> {
            List<Method> versions = versions(row);
            // All versions of a method report an analyte in the same unit.
            Optional<Analyte> analyte = versions.stream()
                    .flatMap(version -> version.analyte(row.text("analyte")).stream())
                    .findFirst();
            if (!versions.isEmpty() && analyte.isEmpty()) {
                row.wrong("analyte", "an analyte of " + versions.get(0).id() + ": " + symbols(versions));
            }
            double mean = row.number("mean");
            double sd = row.number("sd");
            boolean mayBeNegative =
                    analyte.map(Analyte::unit).filter(Unit.PH::equals).isPresent();
            if (mean < 0 && !mayBeNegative) {
                row.wrong("mean", "a content of 0 or more");
            }
            if (sd > Math.max(Math.abs(mean), LEAST_WIDTH) && mean != 0) {
                row.wrong("sd", "a standard deviation not above the mean");
            }
            if (!row.cell("sd").isEmpty()
                    && sd < LEAST_WIDTH
                    && Numbers.parse(row.cell("sd")).isPresent()) {
                row.wrong("sd", "a standard deviation above 0");
            }
            Unit written = row.unit("unit");
            Unit unit = analyte.map(Analyte::unit).orElse(written);
            double factor = factor(row, written, unit);
            return Optional.of(new Material(
                    row.text("material"),
                    row.cell("method"),
                    row.cell("analyte"),
                    mean * factor,
                    sd * factor,
                    unit,
                    row.optionalWhole("n", 1)));
        });
    }

    Taken<Standard> standards() {
        return tables.table(DayTable.STANDARDS, row -> {
            List<Method> versions = versions(row);
            List<Method> fitting = versions.stream()
                    .filter(version -> version.mayBeStated(row.text("analyte")))
                    .toList();
            if (!versions.isEmpty() && fitting.isEmpty()) {
                row.wrong("analyte", "an analyte of " + versions.get(0).id() + ": " + symbols(versions));
            }
            Unit written = row.unit("unit");
            Unit unit = fitting.stream()
                    .flatMap(version -> version.unitOfStandards(row.cell("analyte")).stream())
                    .findFirst()
                    .orElse(written);
            double factor = factor(row, written, unit);
            double value = row.number("value");
            if (value < 0) {
                row.wrong("value", "a content of 0 or more");
            } else if (unit == Unit.PH && value > HIGHEST_PH) {
                row.wrong("value", "a pH from 0 to 14");
            }
            OptionalDouble tolerance = tolerance(row, "tolerance");
            if (tolerance.isPresent() && tolerance.getAsDouble() > Math.abs(value) && value != 0) {
                row.wrong("tolerance", "a difference not above the value");
            }
            return Optional.of(new Standard(
                    row.cell("method"),
                    row.text("standard"),
                    row.cell("analyte"),
                    value * factor,
                    unit,
                    tolerance.isPresent()
                            ? OptionalDouble.of(tolerance.getAsDouble() * factor)
                            : OptionalDouble.empty(),
                    tolerance(row, "tolerance_pct")));
        });
    }

    // 1 where the unit is the expected one or cannot be turned into it, which is then a problem.
    private static double factor(CsvFile.Row row, Unit written, Unit expected) {
        OptionalDouble factor = written.factorTo(expected);
        if (factor.isEmpty() && Unit.ofUcum(row.cell("unit")).isPresent()) {
            row.wrong("unit", "a unit that states the same as " + expected.ucum());
        }
        return factor.orElse(1);
    }

    private static OptionalDouble tolerance(CsvFile.Row row, String column) {
        OptionalDouble tolerance = row.optionalNumber(column);
        if (tolerance.isPresent() && tolerance.getAsDouble() < LEAST_WIDTH) {
            row.wrong(column, "a number above 0, or nothing for the method's own");
        }
        if (column.endsWith("_pct") && tolerance.isPresent() && tolerance.getAsDouble() > MOST_PERCENT) {
            row.wrong(column, "at most 100 %");
        }
        return tolerance;
    }

    static boolean reports(List<Method> versions, String analyte) {
        return versions.stream().anyMatch(version -> version.analyte(analyte).isPresent());
    }

    static String symbols(List<Method> versions) {
        return String.join(
                " ",
                versions.stream()
                        .flatMap(version -> version.head().analytes().stream())
                        .map(analyte -> analyte.symbol())
                        .distinct()
                        .toList());
    }

    /** All versions of the method that a row names; a problem of the row where there is none. */
    List<Method> versions(CsvFile.Row row) {
        String id = row.text("method");
        List<Method> versions = methods.versions(id);
        if (versions.isEmpty() && !id.isEmpty()) {
            row.wrong("method", "a method that tenmesh methods lists, such as " + Spelling.nearest(id, methods.ids()));
        }
        return versions;
    }
}
