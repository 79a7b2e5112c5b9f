package org.tenmesh.core.made;

import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.util.Optional;
import org.tenmesh.core.intake.Submission;

/** A client's box for tests: it came the evening before, and its worksheet says nothing else. */
public final class MadeSubmission {
    private final String name;
    private String client;
    private OffsetDateTime receivedAt;
    private Optional<LocalDate> promisedOn;
    private Optional<String> country;
    private Optional<String> region;
    private Optional<String> packageName;
    private Optional<Boolean> water;
    private Optional<String> note;

    private MadeSubmission(String name, Submission like) {
        this.name = name;
        client = like.client();
        receivedAt = like.receivedAt();
        promisedOn = like.promisedOn();
        country = like.originCountry();
        region = like.originRegion();
        packageName = like.packageName();
        water = like.waterSupplied();
        note = like.note();
    }

    public static MadeSubmission named(String name) {
        return new MadeSubmission(
                name,
                new Submission(
                        name,
                        "Client of " + name,
                        MadeDay.MORNING.minusHours(14),
                        Optional.empty(),
                        Optional.empty(),
                        Optional.empty(),
                        Optional.empty(),
                        Optional.empty(),
                        Optional.empty()));
    }

    public static MadeSubmission like(Submission other) {
        return new MadeSubmission(other.submission(), other);
    }

    public MadeSubmission client(String newClient) {
        client = newClient;
        return this;
    }

    public MadeSubmission receivedAt(OffsetDateTime at) {
        receivedAt = at;
        return this;
    }

    public MadeSubmission promisedOn(LocalDate date) {
        promisedOn = Optional.of(date);
        return this;
    }

    public MadeSubmission from(String newCountry) {
        country = Optional.of(newCountry);
        return this;
    }

    public MadeSubmission region(String newRegion) {
        region = Optional.of(newRegion);
        return this;
    }

    public MadeSubmission asking(String newPackage) {
        packageName = Optional.of(newPackage);
        return this;
    }

    public MadeSubmission water(boolean supplied) {
        water = Optional.of(supplied);
        return this;
    }

    public MadeSubmission note(String text) {
        note = Optional.of(text);
        return this;
    }

    public Submission submission() {
        return new Submission(name, client, receivedAt, promisedOn, country, region, packageName, water, note);
    }
}
