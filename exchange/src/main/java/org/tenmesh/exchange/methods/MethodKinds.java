package org.tenmesh.exchange.methods;

import java.util.Locale;
import java.util.function.BiFunction;
import org.tenmesh.core.methods.Method;
import org.tenmesh.exchange.yaml.Section;

/** The kinds of methods by their words in files, each with what reads its own keys. */
enum MethodKinds {
    ELECTRODE(ElectrodeKeys::read),
    IGNITION(IgnitionKeys::read),
    EMISSION(EmissionKeys::read),
    FLOW(FlowKeys::read),
    CONDUCTIVITY(ConductivityKeys::read),
    FORMULA(FormulaKeys::read),
    DERIVED(DerivedKeys::read);

    private final BiFunction<Method.Head, Section, Method> keys;

    MethodKinds(BiFunction<Method.Head, Section, Method> keys) {
        this.keys = keys;
    }

    /** The method, from its head and the part of its file that goes with its kind. */
    Method read(Method.Head head, Section own) {
        return keys.apply(head, own);
    }

    /** The word in files. */
    String word() {
        return name().toLowerCase(Locale.ROOT);
    }
}
