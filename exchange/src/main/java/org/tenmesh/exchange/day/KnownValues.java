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
            double sd = row.number("sd");
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
                    row.number("mean") * factor,
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
            OptionalDouble tolerance = tolerance(row, "tolerance");
            return Optional.of(new Standard(
                    row.cell("method"),
                    row.text("standard"),
                    row.cell("analyte"),
                    row.number("value") * factor,
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
