package org.tenmesh.web.bench;

import java.time.Instant;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;
import org.tenmesh.core.bench.BenchWork;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.equipment.Consequence;
import org.tenmesh.core.equipment.Finding;
import org.tenmesh.core.equipment.Lot;
import org.tenmesh.core.equipment.Register;
import org.tenmesh.core.equipment.Use;
import org.tenmesh.core.layout.Tray;
import org.tenmesh.core.methods.BenchStep.Doing;
import org.tenmesh.core.methods.Method;
import org.tenmesh.store.rows.Refused;

/**
 * The lot of extractant or buffer that is poured into a tray, as its label was scanned. A soil that is taken again has no such note: its tray's
 * would be replaced by it.
 *
 * @param methods that are read from the portion
 */
record PouredLot(Desk desk, Tray tray, Set<String> methods, Lot lot) {
    private static final Set<Lot.Kind> POURED = Set.of(Lot.Kind.EXTRACTANT, Lot.Kind.BUFFER, Lot.Kind.REAGENT);

    /** Whether something is poured in a step of which the lot can be said. */
    private static boolean pours(BenchWork.Line line) {
        return line.step().doing() == Doing.POUR || line.step().doing() == Doing.DILUTE;
    }

    /** The lots that can be poured in a step of a tray, those in use first; none where none is registered. */
    static List<LotChoice> fitting(BenchDay day, Tray tray, BenchWork.Line line) {
        if (!pours(line)) {
            return List.of();
        }
        Register register = day.desk().holds().register();
        Set<String> methods = methods(day, tray, line);
        Instant now =
                day.desk().today().plusDays(1).atStartOfDay(day.desk().zone()).toInstant();
        return register.lots().stream()
                .filter(lot -> why(day.desk(), methods, lot).isEmpty() && !register.usedUp(lot, now))
                .map(lot -> new LotChoice(lot.name(), lot.standsFor(), register.isInUse(lot, now)))
                .sorted(Comparator.comparing(one -> !one.inUse()))
                .toList();
    }

    /**
     * The lot that was scanned; empty where none was, or the step pours nothing of which the lot is said.
     *
     * @throws Refused where it is no lot, or not one for this step
     */
    static Optional<PouredLot> scanned(BenchDay day, Tray tray, BenchWork.Line line, String name) {
        if (name.isEmpty() || !pours(line)) {
            return Optional.empty();
        }
        Lot lot = day.desk()
                .holds()
                .register()
                .lot(name)
                .orElseThrow(
                        () -> new Refused(
                                "no lot " + name
                                        + " is registered; nothing was noted. Register it on the page Lots, or note the step without it"));
        Set<String> methods = methods(day, tray, line);
        why(day.desk(), methods, lot).ifPresent(why -> {
            throw new Refused("lot " + name + " " + why + "; nothing was noted");
        });
        return Optional.of(new PouredLot(day.desk(), tray, methods, lot));
    }

    private static Set<String> methods(BenchDay day, Tray tray, BenchWork.Line line) {
        return line.step()
                .method()
                .map(Set::of)
                .orElseGet(() -> day.methods(tray, BenchWork.portion(line.step().key())).stream()
                        .map(Method::id)
                        .collect(Collectors.toSet()));
    }

    /** Why a lot is not poured for these methods; empty when it can be. */
    private static Optional<String> why(Desk desk, Set<String> methods, Lot lot) {
        if (!POURED.contains(lot.kind())) {
            return Optional.of("is a " + lot.kind().phrase() + ", which is not poured on soil");
        }
        if (!lot.method().isEmpty() && !methods.contains(lot.method())) {
            return Optional.of("is for " + lot.method() + ", and this is " + String.join(", ", methods));
        }
        if (lot.kind() == Lot.Kind.BUFFER && lot.method().isEmpty()) {
            return Optional.of("is a buffer, and no method is registered with it");
        }
        boolean calibrates = desk.day().standards().stream()
                .anyMatch(one -> one.standard().equals(lot.standsFor())
                        && (lot.method().isEmpty() || lot.method().equals(one.method())));
        return calibrates
                ? Optional.of("is " + lot.standsFor() + ", with which an instrument is calibrated")
                : Optional.empty();
    }

    /**
     * Says what is wrong with it.
     *
     * @param late whether it was noted without network: then it has happened, and nothing is refused
     * @throws Refused where the policy says that nothing may begin with it
     */
    void check(Instant at, boolean late, List<String> told, List<String> asks) {
        for (Finding finding : desk.holds().register().findings(lot.thing(), at, desk.zone())) {
            Consequence follows = finding.consequence(desk.day().laboratory().policy());
            String says = "Lot " + lot.name() + " " + finding.says();
            if (follows == Consequence.REFUSE && !late) {
                throw new Refused(says + ": nothing may begin with it; nothing was noted. Take another lot");
            }
            asks.add(says + (follows.holds() ? ": what is read with it is held." : "."));
            told.add(says);
        }
    }

    /** What joins it to the runs of the tray, one for each method; those left out that were noted before. */
    List<Use> uses(Instant at, String person, Instant now) {
        Register register = desk.holds().register();
        return methods.stream()
                .sorted()
                .map(method -> Use.ofTray(lot.thing(), desk.name(), tray.tray(), method, at, person, now))
                .filter(use -> register.usesOf(lot.thing()).stream()
                        .noneMatch(one -> one.place() == use.place()
                                && one.day().equals(use.day())
                                && one.code().equals(use.code())
                                && one.method().equals(use.method())
                                && one.at().equals(use.at())))
                .toList();
    }
}
