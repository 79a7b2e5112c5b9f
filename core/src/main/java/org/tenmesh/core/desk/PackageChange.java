package org.tenmesh.core.desk;

import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.core.intake.TestPackage;

/** Whether a submission that was laid out may ask for another package. */
public final class PackageChange {
    private PackageChange() {}

    /**
     * Why it may not; empty when it may. What was reported once stays reported: after a release the new package asks at least for what the old
     * one asked.
     *
     * @param wanted the new package; empty = none
     */
    public static Optional<String> refused(Desk desk, Submission submission, Optional<String> wanted) {
        if (wanted.equals(submission.packageName())) {
            return Optional.empty();
        }
        Optional<TestPackage> next = wanted.flatMap(desk::testPackage);
        if (wanted.isPresent() && next.isEmpty()) {
            return Optional.of("Package " + wanted.get() + " is not known on this day; expected one of "
                    + desk.day().packages().stream().map(TestPackage::name).collect(Collectors.joining(", ")) + ".");
        }
        if (desk.releases(submission.submission()).isEmpty()) {
            return Optional.empty();
        }
        List<String> lost = submission
                .packageName()
                .flatMap(desk::testPackage)
                .map(now -> now.asked().stream()
                        .filter(asked -> next.flatMap(its -> its.of(asked.method()))
                                .filter(its -> covers(its, asked))
                                .isEmpty())
                        .map(asked -> desk.methodTitle(asked.method()))
                        .toList())
                .orElse(List.of());
        return lost.isEmpty()
                ? Optional.empty()
                : Optional.of("Submission " + submission.submission() + " was released with " + String.join(", ", lost)
                        + ", which " + wanted.map(name -> "package " + name).orElse("no package")
                        + " does not ask for. Expected a package that asks at least for what was released.");
    }

    private static boolean covers(TestPackage.Asked next, TestPackage.Asked now) {
        return next.analytes().isEmpty()
                || (!now.analytes().isEmpty() && next.analytes().containsAll(now.analytes()));
    }
}
