package org.tenmesh.core.made;

import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.intake.Soil;

/** A soil for tests: a bare lab number, as a hidden control has it, until a test says whose it is. */
public final class MadeSoil {
    private final LabNumber number;
    private Optional<String> submission;
    private OptionalInt ordinal;
    private Optional<String> label;
    private OptionalDouble topCm;
    private OptionalDouble bottomCm;
    private Optional<String> packageName;
    private Optional<Boolean> regulated;
    private Soil.Matter matter;

    private MadeSoil(LabNumber number, Soil like) {
        this.number = number;
        submission = like.submission();
        ordinal = like.ordinal();
        label = like.clientLabel();
        topCm = like.topCm();
        bottomCm = like.bottomCm();
        packageName = like.packageName();
        regulated = like.regulated();
        matter = like.matter();
    }

    public static MadeSoil numbered(LabNumber number) {
        return new MadeSoil(
                number,
                new Soil(
                        number,
                        Optional.empty(),
                        OptionalInt.empty(),
                        Optional.empty(),
                        OptionalDouble.empty(),
                        OptionalDouble.empty(),
                        Optional.empty(),
                        Optional.empty()));
    }

    public static MadeSoil like(Soil other) {
        return new MadeSoil(other.labNumber(), other);
    }

    /** What another soil is, under this number. */
    public static MadeSoil numbered(LabNumber number, Soil like) {
        return new MadeSoil(number, like);
    }

    public MadeSoil of(String newSubmission, int newOrdinal) {
        return of(newSubmission).ordinal(newOrdinal);
    }

    public MadeSoil of(String newSubmission) {
        submission = Optional.of(newSubmission);
        return this;
    }

    public MadeSoil ordinal(int newOrdinal) {
        ordinal = OptionalInt.of(newOrdinal);
        return this;
    }

    public MadeSoil labelled(String newLabel) {
        label = Optional.of(newLabel);
        return this;
    }

    public MadeSoil topCm(double top) {
        topCm = OptionalDouble.of(top);
        return this;
    }

    public MadeSoil bottomCm(double bottom) {
        bottomCm = OptionalDouble.of(bottom);
        return this;
    }

    public MadeSoil asking(String newPackage) {
        packageName = Optional.of(newPackage);
        return this;
    }

    public MadeSoil regulated(boolean isRegulated) {
        regulated = Optional.of(isRegulated);
        return this;
    }

    public MadeSoil water() {
        matter = Soil.Matter.WATER;
        return this;
    }

    public Soil soil() {
        return new Soil(number, submission, ordinal, label, topCm, bottomCm, packageName, regulated, matter);
    }
}
