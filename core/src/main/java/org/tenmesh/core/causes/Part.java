package org.tenmesh.core.causes;

import java.util.List;
import java.util.stream.Stream;
import org.tenmesh.core.reduction.Step;

/** A part of how a number came to be: one step, or an input with all that made it. */
public sealed interface Part {
    /** A step on the way to the number itself. */
    record Made(Step step) implements Part {}

    /**
     * A number that another result put in.
     *
     * @param name its name in the formula
     * @param step what stands for it, and its number
     * @param parts what made it; empty when it was told before, or was not read
     */
    record Input(String name, Step step, List<Part> parts) implements Part {
        public Input {
            parts = List.copyOf(parts);
        }
    }

    /** All steps in the order they were made, an input before what made it. */
    default Stream<Step> steps() {
        if (this instanceof Input input) {
            Step step = input.step();
            return Stream.concat(
                    Stream.of(new Step(
                            "Input " + input.name() + ": " + step.what(),
                            step.arithmetic(),
                            step.result(),
                            step.unit())),
                    input.parts().stream().flatMap(Part::steps));
        }
        return Stream.of(((Made) this).step());
    }
}
