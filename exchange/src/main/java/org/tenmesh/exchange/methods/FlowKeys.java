package org.tenmesh.exchange.methods;

import org.tenmesh.core.methods.FlowMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.exchange.yaml.Section;

/** The keys of a calibrated extraction read by flow analysis. */
final class FlowKeys {
    private FlowKeys() {}

    static FlowMethod read(Method.Head head, Section own) {
        Section carry = own.section("carry_over");
        FlowMethod.CarryOver carryOver = new FlowMethod.CarryOver(
                carry.text("low"),
                carry.text("high"),
                Values.positive(carry, "limit_pct"),
                Values.positive(carry, "matter_pct"));
        carry.nothingElse();
        return new FlowMethod(
                head,
                ExtractionKeys.extraction(own),
                ExtractionKeys.lines(head, own),
                Values.positive(own, "baseline_drift_limit"),
                carryOver,
                own.optionalNumber("saturation"));
    }
}
