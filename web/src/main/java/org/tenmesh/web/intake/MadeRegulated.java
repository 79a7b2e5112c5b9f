package org.tenmesh.web.intake;

import java.time.LocalDate;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Set;
import java.util.UUID;
import java.util.stream.Collectors;
import org.tenmesh.core.bench.BenchAct;
import org.tenmesh.core.bench.Rack;
import org.tenmesh.core.custody.Origin;
import org.tenmesh.core.custody.Parcel;
import org.tenmesh.core.custody.Permit;
import org.tenmesh.core.custody.Permits;
import org.tenmesh.core.custody.Signed;
import org.tenmesh.core.desk.Desk;
import org.tenmesh.core.dock.DockAct;
import org.tenmesh.core.intake.Submission;
import org.tenmesh.store.custody.LedgerBook;
import org.tenmesh.web.days.LaboratoryStore;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.words.Words;

/**
 * Ordinary soil that met regulated soil in a mill: its booking and the account of regulated soil follow. Done before the note at the bench is kept:
 * should the program stop in between, soil is kept apart that need not be, never the other way round.
 */
public final class MadeRegulated {
    private final PageContext context;
    private final Desk desk;
    private final LocalDate today;
    private final List<Parcel> parcels;

    public MadeRegulated(PageContext context, Desk desk) {
        this.context = context;
        this.desk = desk;
        this.today = context.clock().instant().atZone(desk.zone()).toLocalDate();
        this.parcels = context.store().custody().parcels();
    }

    /**
     * Makes everything on a rack regulated.
     *
     * @param ground the note that says so, not kept yet
     * @param met the note of the regulated soil that was in the mill before
     */
    public void ofRack(Rack rack, BenchAct ground, BenchAct met) {
        String because = "Ground on rack " + ground.subject().code() + " in mill " + ground.about()
                + ", which was not cleaned after regulated soil of rack "
                + met.subject().code();
        Optional<Signed<Permit>> permit = permitOf(met);
        Set<String> submissions = rack.loads().stream()
                .map(Rack.Load::submission)
                .collect(Collectors.toCollection(java.util.TreeSet::new));
        for (String submission : submissions) {
            one(submission, because, permit, ground);
        }
    }

    private void one(String submission, String because, Optional<Signed<Permit>> permit, BenchAct ground) {
        Dock dock = new Dock(context);
        Optional<AtDock> waits = dock.one(desk, submission);
        if (waits.filter(at -> at.booking().regulated()).isPresent()) {
            return;
        }
        permit.ifPresent(under -> receive(submission, because, under, ground, waits));
        waits.ifPresent(at -> dock.keep(
                desk,
                at,
                new DockAct(
                        UUID.randomUUID().toString(),
                        submission,
                        DockAct.What.MADE_REGULATED,
                        0,
                        permit.map(Signed::name).orElse(""),
                        "",
                        because,
                        ground.person(),
                        context.clock().instant())));
    }

    /** The permit under which the soil that was met is kept, as it decides today. */
    private Optional<Signed<Permit>> permitOf(BenchAct met) {
        Permits permits = Permits.inForce(context.store().custody().signedPermits(), today);
        List<BenchAct> acts = context.store().bench().racks().stream()
                .filter(act -> act.subject().equals(met.subject()))
                .toList();
        List<BenchAct> until = acts.stream()
                .limit(1L + acts.stream().map(BenchAct::id).toList().indexOf(met.id()))
                .toList();
        Set<String> submissions = Rack.of(Rack.round(until)).loads().stream()
                .map(Rack.Load::submission)
                .collect(Collectors.toSet());
        return parcels.stream()
                .filter(parcel -> submissions.contains(parcel.submission()))
                .flatMap(parcel -> permits.permits().stream()
                        .filter(one -> one.name().equals(parcel.permit())
                                && !today.isAfter(one.paper().expires())
                                && !today.isBefore(one.paper().issued())))
                .findFirst();
    }

    private void receive(
            String submission, String because, Signed<Permit> permit, BenchAct ground, Optional<AtDock> waits) {
        Optional<Submission> laidOut = context.store()
                .newestDayWith(LaboratoryStore.Kept.SUBMISSION, submission)
                .flatMap(day -> context.currentDay().desk(day))
                .flatMap(day -> day.submission(submission));
        Optional<Origin> origin = waits.map(at -> Rulings.origin(at.booking().arrival()))
                .or(() -> laidOut.map(sent -> Origin.written(
                        sent.originCountry(), sent.originRegion().stream().toList())));
        if (origin.isEmpty()) {
            return;
        }
        context.store()
                .custody()
                .receive(
                        new LedgerBook.Received(
                                Dock.receipt(submission),
                                submission,
                                origin.get(),
                                Words.shortened(because, DockAct.LONGEST),
                                permit,
                                waits.map(at -> at.booking().arrival().massG()).orElse(OptionalLong.empty()),
                                waits.map(at -> Math.max(
                                                1,
                                                at.booking().there().size()
                                                        + at.booking().extra().size()))
                                        .orElse(1),
                                "regulated since it was ground",
                                "rack " + ground.subject().code()),
                        today,
                        ground.person(),
                        context.clock().instant());
    }
}
