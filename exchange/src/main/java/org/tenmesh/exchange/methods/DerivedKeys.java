package org.tenmesh.exchange.methods;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.tenmesh.core.formula.Formula;
import org.tenmesh.core.methods.Advice;
import org.tenmesh.core.methods.Computed;
import org.tenmesh.core.methods.Constant;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.quantity.Dimension;
import org.tenmesh.exchange.file.Problem;
import org.tenmesh.exchange.yaml.Section;

/** The keys of what is calculated from other results. */
final class DerivedKeys {
    private static final Map<String, DerivedMethod.Below> BELOWS = Values.lower(DerivedMethod.Below.values());
    private static final Set<String> SHEET = Set.of("top_cm", "bottom_cm");

    private DerivedKeys() {}

    static DerivedMethod read(Method.Head head, Section own) {
        List<DerivedMethod.Input> inputs = new ArrayList<>();
        Map<String, Dimension> names = new LinkedHashMap<>();
        for (Section section : own.sections("inputs")) {
            DerivedMethod.Input input = input(section);
            ComputedKeys.name(section, names, input.name(), ComputedKeys.dimension(section, "unit", input.unit()));
            inputs.add(input);
        }
        if (inputs.isEmpty()) {
            own.missing("inputs", "at least one input");
        }
        List<Constant> constants = ComputedKeys.constants(own, names);
        Map<String, Formula.Table> tables = new LinkedHashMap<>();
        if (own.has("tables")) {
            for (Section section : own.sections("tables")) {
                Formula.Table table = ComputedKeys.table(section);
                ComputedKeys.name(section, new LinkedHashMap<>(names), table.name(), Dimension.NUMBER);
                tables.put(table.name(), table);
            }
        }
        List<Computed> results = ComputedKeys.results(head, own, names, tables);
        Set<String> used = ComputedKeys.used(results);
        ComputedKeys.idle(
                own, "inputs", inputs.stream().map(DerivedMethod.Input::name).toList(), used);
        ComputedKeys.idle(
                own, "constants", constants.stream().map(Constant::name).toList(), used);
        ComputedKeys.idle(own, "tables", List.copyOf(tables.keySet()), used);
        Optional<Advice> advice = Optional.empty();
        if (own.has("advice")) {
            Section section = own.section("advice");
            advice = Optional.of(new Advice(section.text("region"), section.text("deference")));
            section.nothingElse();
        }
        return new DerivedMethod(head, inputs, constants, List.copyOf(tables.values()), results, advice);
    }

    private static DerivedMethod.Input input(Section section) {
        List<DerivedMethod.From> from = new ArrayList<>();
        for (Section one : section.sections("from")) {
            DerivedMethod.From place = new DerivedMethod.From(one.text("method"), one.text("analyte"));
            one.nothingElse();
            if (place.method().equals(DerivedMethod.From.SHEET) && !SHEET.contains(place.analyte())) {
                one.wrong("analyte", Problem.quoted(place.analyte()), "top_cm or bottom_cm of the client's sheet");
            }
            from.add(place);
        }
        if (from.isEmpty()) {
            section.missing("from", "at least one method and analyte");
        }
        OptionalDouble otherwise = section.optionalNumber("otherwise");
        boolean sheet = from.stream().allMatch(one -> one.method().equals(DerivedMethod.From.SHEET));
        DerivedMethod.Input input = new DerivedMethod.Input(
                section.text("name"),
                from,
                section.text("unit"),
                // What a client writes on a sheet has no reporting limit.
                sheet && !section.has("below") ? DerivedMethod.Below.REFUSE : section.choice("below", BELOWS),
                otherwise,
                otherwise.isPresent()
                        ? section.text("why")
                        : section.optionalText("why").orElse(""));
        section.nothingElse();
        return input;
    }
}
