package org.tenmesh.core.causes;

import java.util.List;
import org.tenmesh.core.reduction.Step;

/**
 * How one number came to be: the result and every step from reading to uncertainty, in the order they were made, with
 * the numbers put in. The last step of the value equals the result's full-precision number, digit for digit.
 */
public record Story(Result result, List<Step> steps) {
    public Story {
        steps = List.copyOf(steps);
    }
}
