package org.tenmesh.core.causes;

import java.util.List;
import org.tenmesh.core.reduction.Step;

/**
 * How one number came to be: the result and every step from reading to uncertainty, in the order they were made, with
 * the numbers put in. The last step equals the result's full-precision number, digit for digit.
 *
 * @param parts steps, and inputs with what made them
 * @param around sentences on what stands around it: check solutions, controls, causes, uncertainty, verdict; never names a hidden
 *     control
 */
public record Story(Result result, List<Part> parts, List<String> around) {
    public Story {
        parts = List.copyOf(parts);
        around = List.copyOf(around);
    }

    /** A story without inputs. */
    public static Story of(Result result, List<Step> steps, List<String> around) {
        return new Story(result, steps.stream().<Part>map(Part.Made::new).toList(), around);
    }

    /** All steps one after the other, an input before what made it. */
    public List<Step> steps() {
        return parts.stream().flatMap(Part::steps).toList();
    }
}
