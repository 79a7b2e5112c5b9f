package org.tenmesh.web.intake;

import java.time.LocalDate;
import java.util.EnumSet;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import org.tenmesh.core.custody.Areas;
import org.tenmesh.core.custody.Consignment;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.Permits;
import org.tenmesh.core.custody.Signed;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.dock.Arrival;
import org.tenmesh.core.dock.Ruling;
import org.tenmesh.core.intake.TestPackage;
import org.tenmesh.core.methods.Method;
import org.tenmesh.store.sheets.KeptSheet;
import org.tenmesh.web.days.SheetReader;
import org.tenmesh.web.http.PageContext;

/** What the area lists and permits that are in force today say of what comes in. */
final class Rulings {
    private static final Set<String> CHEMICAL_KINDS =
            Set.of("electrode", "conductivity", "emission", "flow", "ignition");

    private final Desk desk;
    private final Areas areas;
    private final Permits permits;

    Rulings(PageContext context, Desk desk, LocalDate today) {
        this.desk = desk;
        this.areas = Areas.inForce(context.store().custody().signedAreas(), today);
        this.permits = Permits.inForce(context.store().custody().signedPermits(), today);
    }

    /** What is asked of the soils says what a permit has to allow. */
    Function<Arrival, Ruling> of(KeptSheet kept, SheetReader.Sheet sheet) {
        Set<Permit.Analysis> analyses = analyses(kept, sheet);
        return came -> {
            org.tenmesh.core.custody.Origin origin = origin(came);
            Areas.Answer answer = areas.lookUp(origin);
            List<Areas.Hit> hits = answer instanceof Areas.Regulated regulated ? regulated.hits() : List.of();
            Permits.Fit fit = permits.fit(new Consignment(origin, hits, came.massG(), analyses, came.handCarried()));
            return new Ruling(
                    word(answer),
                    answer.words(),
                    areas.lookedUp(origin),
                    fit.admits() ? fit.admitting().get(0).name() : "",
                    fit.admits() ? List.of() : List.of(fit.refusal()),
                    fit.warnings());
        };
    }

    static org.tenmesh.core.custody.Origin origin(Arrival came) {
        return org.tenmesh.core.custody.Origin.written(
                Optional.of(came.origin().country()), List.of(came.origin().region()));
    }

    /** The permit of this name, as it decides today. */
    Optional<Signed<Permit>> permit(String name) {
        return permits.permits().stream().filter(one -> one.name().equals(name)).findFirst();
    }

    private static Ruling.Answer word(Areas.Answer answer) {
        if (answer instanceof Areas.Regulated) {
            return Ruling.Answer.REGULATED;
        }
        if (answer instanceof Areas.NotListed) {
            return Ruling.Answer.NOT_LISTED;
        }
        return answer instanceof Areas.Missing ? Ruling.Answer.MISSING : Ruling.Answer.UNCLEAR;
    }

    private Set<Permit.Analysis> analyses(KeptSheet kept, SheetReader.Sheet sheet) {
        Set<String> names = new HashSet<>();
        kept.said().packageName().or(sheet::packageName).ifPresent(names::add);
        sheet.samples().forEach(one -> one.packageName().ifPresent(names::add));
        List<TestPackage> asked = desk.day().packages().stream()
                .filter(one -> names.contains(one.name()))
                .toList();
        boolean chemical = !names.isEmpty()
                && asked.size() == names.size()
                && asked.stream()
                        .flatMap(one -> one.asked().stream())
                        .allMatch(one -> desk.methods()
                                .find(one.method())
                                .filter(Rulings::chemical)
                                .isPresent());
        return chemical
                ? EnumSet.of(Permit.Analysis.CHEMICAL)
                : EnumSet.of(Permit.Analysis.CHEMICAL, Permit.Analysis.PHYSICAL);
    }

    /** A method of a general kind, as texture by hydrometer is, may be physical: then the permit has to allow both. */
    private static boolean chemical(Method method) {
        return method.isCalculated() || CHEMICAL_KINDS.contains(method.kind());
    }
}
