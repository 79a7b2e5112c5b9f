package org.tenmesh.exchange.methods;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.tenmesh.core.methods.Computed;
import org.tenmesh.core.methods.Constant;
import org.tenmesh.core.methods.FormulaMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Dimension;
import org.tenmesh.exchange.file.DecimalText;
import org.tenmesh.exchange.yaml.Section;

/** The keys of a formula of readings. */
final class FormulaKeys {
    private FormulaKeys() {}

    static FormulaMethod read(Method.Head head, Section own) {
        List<FormulaMethod.Quantity> quantities = new ArrayList<>();
        Map<String, Dimension> names = new LinkedHashMap<>();
        for (Section section : own.sections("quantities")) {
            FormulaMethod.Quantity quantity = new FormulaMethod.Quantity(
                    section.text("name"),
                    section.text("description"),
                    section.text("unit"),
                    section.number("lowest"),
                    section.number("highest"));
            section.nothingElse();
            if (quantity.highest() <= quantity.lowest()) {
                section.wrong("highest", "a number not above lowest", "one above " + DecimalText.of(quantity.lowest()));
            }
            Dimension dimension = ComputedKeys.dimension(section, "unit", quantity.unit());
            ComputedKeys.name(section, names, quantity.name(), dimension);
            names.put(FormulaMethod.BLANK + quantity.name(), dimension);
            names.put(FormulaMethod.STANDARD + quantity.name(), dimension);
            quantities.add(quantity);
        }
        if (quantities.isEmpty()) {
            own.missing("quantities", "at least one quantity that is read");
        }
        List<Constant> constants = ComputedKeys.constants(own, names);
        List<Computed> results = ComputedKeys.results(head, own, names, Map.of());
        Set<String> used = ComputedKeys.used(results);
        ComputedKeys.idle(
                own, "constants", constants.stream().map(Constant::name).toList(), used);
        List<String> read = new ArrayList<>();
        for (FormulaMethod.Quantity quantity : quantities) {
            boolean mean = used.contains(FormulaMethod.BLANK + quantity.name())
                    || used.contains(FormulaMethod.STANDARD + quantity.name());
            if (!mean) {
                read.add(quantity.name());
            }
        }
        ComputedKeys.idle(own, "quantities", read, used);
        return new FormulaMethod(
                head,
                quantities,
                constants,
                results,
                Values.positive(own, "duplicate_limit_pct"),
                own.number("duplicate_floor", 0));
    }
}
