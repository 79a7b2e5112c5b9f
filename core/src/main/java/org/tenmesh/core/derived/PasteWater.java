package org.tenmesh.core.derived;

import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.methods.DerivedMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.core.methods.MethodBook;

/** With which water the saturated pastes of a submission were made: the client's own changes what their extract says. */
public final class PasteWater {
    /** Name of the portion that is made into a saturated paste. */
    public static final String PORTION = "paste";

    private PasteWater() {}

    /**
     * One sentence.
     *
     * @param soils of the submission, its water samples among them
     */
    public static String of(Submission submission, List<Soil> soils) {
        List<String> waters = soils.stream()
                .filter(soil -> soil.matter() == Soil.Matter.WATER)
                .map(soil -> soil.labNumber().text())
                .toList();
        if (!waters.isEmpty()) {
            return "Saturated pastes were made with the client's own water, lab number " + String.join(", ", waters)
                    + ".";
        }
        return submission.waterSupplied().orElse(false)
                ? "The client's own water came for the saturated pastes, but no sample of it has a lab number: what it brought"
                        + " along is not known."
                : "Saturated pastes were made with deionised water.";
    }

    /** The same for one lab number; empty when the method has nothing to do with pastes or no submission is known. */
    public static Optional<String> of(Day day, LabNumber labNumber, String method, MethodBook methods) {
        if (!restsOnPaste(method, methods.on(day.date())::find)) {
            return Optional.empty();
        }
        Optional<String> name = day.soils().stream()
                .filter(soil -> soil.labNumber().equals(labNumber) && soil.matter() == Soil.Matter.SOIL)
                .findFirst()
                .flatMap(Soil::submission);
        return name.flatMap(its -> day.submissions().stream()
                .filter(submission -> submission.submission().equals(its))
                .findFirst()
                .map(submission -> of(
                        submission,
                        day.soils().stream()
                                .filter(soil -> soil.submission().equals(name))
                                .collect(Collectors.toList()))));
    }

    /**
     * Whether a method reads a paste, or is calculated from one that does.
     *
     * @param methods the method of an id, in the version that holds
     */
    public static boolean restsOnPaste(String id, Function<String, Optional<Method>> methods) {
        return restsOnPaste(id, methods, new HashSet<>());
    }

    private static boolean restsOnPaste(String id, Function<String, Optional<Method>> methods, Set<String> seen) {
        Method method = methods.apply(id).orElse(null);
        if (method == null || !seen.add(id)) {
            return false;
        }
        if (method instanceof DerivedMethod derived) {
            return derived.inputs().stream()
                    .flatMap(input -> input.from().stream())
                    .anyMatch(from -> restsOnPaste(from.method(), methods, seen));
        }
        return method.head().portion().filter(its -> its.name().equals(PORTION)).isPresent();
    }
}
