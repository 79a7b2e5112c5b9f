package org.tenmesh.core.causes;

import java.util.List;
import org.tenmesh.core.reduction.Step;

/**
 * How one number came to be: the result and every step from reading to uncertainty, in the order they were made, with
 * the numbers put in. The last step equals the result's full-precision number, digit for digit.
 *
 * @param around sentences on what stands around it: known solutions, controls, uncertainty, verdict; never names a hidden
 *     control
 */
public record Story(Result result, List<Step> steps, List<String> around) {
    public Story {
        steps = List.copyOf(steps);
        around = List.copyOf(around);
    }
}
