package org.tenmesh.core.custody;

import java.time.LocalDate;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.TreeSet;

/** The permits that are in force on a day, and which of them admits a consignment. Pure. */
public record Permits(LocalDate on, List<Signed<Permit>> permits) {
    public Permits {
        permits = List.copyOf(permits);
    }

    /** Those of all signed versions that decide on this day. */
    public static Permits inForce(List<Signed<Permit>> signed, LocalDate on) {
        return new Permits(on, Signed.inForce(signed, on));
    }

    /** Why a permit does not admit a consignment. */
    public record Objection(Signed<Permit> permit, List<String> reasons) {
        public Objection {
            reasons = List.copyOf(reasons);
        }
    }

    /**
     * What the permits say of a consignment. Without one that admits it, it must not be booked in.
     *
     * @param admitting the one that lasts longest first
     * @param warnings of those that admit it
     */
    public record Fit(List<Signed<Permit>> admitting, List<Objection> objections, List<String> warnings) {
        public Fit {
            admitting = List.copyOf(admitting);
            objections = List.copyOf(objections);
            warnings = List.copyOf(warnings);
        }

        public boolean admits() {
            return !admitting.isEmpty();
        }

        /** Why it is refused, in one paragraph. */
        public String refusal() {
            if (admits()) {
                return "";
            }
            return objections.isEmpty()
                    ? "No permit or agreement is in force. Regulated soil must not be booked in; ask the permit officer."
                    : "No permit or agreement admits it; ask the permit officer. "
                            + String.join(
                                    " ",
                                    objections.stream()
                                            .map(one ->
                                                    one.permit().name() + ": " + String.join("; ", one.reasons()) + ".")
                                            .toList());
        }
    }

    /** Which permits admit a consignment on this day. */
    public Fit fit(Consignment consignment) {
        List<Signed<Permit>> admitting = new ArrayList<>();
        List<Objection> objections = new ArrayList<>();
        List<String> warnings = new ArrayList<>();
        for (Signed<Permit> one : permits) {
            List<String> reasons = objections(one.paper(), consignment);
            if (reasons.isEmpty()) {
                admitting.add(one);
                warnings.addAll(warnings(one));
            } else {
                objections.add(new Objection(one, reasons));
            }
        }
        admitting.sort((a, b) -> b.paper().expires().compareTo(a.paper().expires()));
        return new Fit(admitting, objections, warnings);
    }

    private List<String> objections(Permit permit, Consignment consignment) {
        List<String> reasons = new ArrayList<>();
        if (on.isAfter(permit.expires())) {
            reasons.add("it expired on " + permit.expires());
        }
        if (on.isBefore(permit.issued())) {
            reasons.add("it begins on " + permit.issued());
        }
        reasons.addAll(outOfScope(permit, consignment));
        for (Permit.Analysis analysis : new TreeSet<>(consignment.analyses())) {
            if (!permit.analyses().contains(analysis)) {
                reasons.add(analysis.phrase() + " analysis is not in its scope");
            }
        }
        if (permit.mostG().isPresent()) {
            if (consignment.massG().isEmpty()) {
                reasons.add("it limits a consignment to " + permit.mostG().getAsLong()
                        + " g, and this one was not weighed");
            } else if (consignment.massG().getAsLong() > permit.mostG().getAsLong()) {
                reasons.add("it limits a consignment to " + permit.mostG().getAsLong() + " g, found "
                        + consignment.massG().getAsLong() + " g");
            }
        }
        if (consignment.handCarried() && !permit.handCarried()) {
            reasons.add("it does not allow soil to be carried by hand");
        }
        return reasons;
    }

    /** Every list that names the origin must be admitted, unless the scope names the place itself. */
    private List<String> outOfScope(Permit permit, Consignment consignment) {
        boolean named = permit.origins().stream().anyMatch(area -> within(area, consignment.origin()));
        if (named) {
            return List.of();
        }
        if (consignment.hits().isEmpty()) {
            return List.of("its scope does not name " + consignment.origin().words());
        }
        List<String> reasons = new ArrayList<>();
        for (Areas.Hit hit : consignment.hits()) {
            if (!permit.lists().contains(hit.list().name())) {
                reasons.add("soil regulated by " + hit.list().name() + " is not in its scope");
            }
        }
        return reasons.stream().distinct().toList();
    }

    private boolean within(Area area, Origin origin) {
        if (!area.counts(on) || !origin.country().equals(Optional.of(area.country()))) {
            return false;
        }
        List<String> places = origin.places();
        return area.county().isEmpty()
                ? area.region().isEmpty() || Names.index(places, area.region()) >= 0
                : Names.bothIn(places, area.region(), area.county());
    }

    /**
     * Why no charge may be opened under a version of a permit; empty when one may. What was received under an earlier version is destroyed by the
     * one that decides now.
     */
    public Optional<String> refusesCharge(String permit, int version) {
        Optional<Signed<Permit>> now =
                permits.stream().filter(one -> one.name().equals(permit)).findFirst();
        if (now.isEmpty()) {
            return Optional.of("nobody signed a version of it that decides on " + on);
        }
        if (now.get().version() != version) {
            return Optional.of("version " + now.get().version() + " decides on " + on);
        }
        LocalDate expires = now.get().paper().expires();
        return on.isAfter(expires)
                ? Optional.of(
                        "it expired on " + expires
                                + ": ask the permit officer how the soil is to be destroyed, and sign what is decided as a new version")
                : Optional.empty();
    }

    /** Permits that expire soon or have expired, the soonest first. */
    public List<String> warnings() {
        return permits.stream()
                .sorted((a, b) -> a.paper().expires().compareTo(b.paper().expires()))
                .flatMap(one -> warnings(one).stream())
                .toList();
    }

    private List<String> warnings(Signed<Permit> one) {
        long days = ChronoUnit.DAYS.between(on, one.paper().expires());
        if (days < 0) {
            return List.of("The " + one.paper().kind().phrase() + " " + one.name() + " expired on "
                    + one.paper().expires() + ": nothing can be booked in under it.");
        }
        return days > one.paper().warnDays()
                ? List.of()
                : List.of("The " + one.paper().kind().phrase() + " " + one.name() + " expires on "
                        + one.paper().expires() + ", in " + days + (days == 1 ? " day." : " days."));
    }
}
