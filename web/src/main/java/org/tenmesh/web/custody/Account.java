package org.tenmesh.web.custody;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.tenmesh.core.custody.Age;
import org.tenmesh.core.custody.Areas;
import org.tenmesh.core.custody.Balance;
import org.tenmesh.core.custody.Expected;
import org.tenmesh.core.custody.Ledger;
import org.tenmesh.core.custody.Move;
import org.tenmesh.core.custody.Parcel;
import org.tenmesh.core.custody.Permits;
import org.tenmesh.core.judgement.Policy;
import org.tenmesh.core.judgement.Setting;
import org.tenmesh.core.methods.MethodBook;
import org.tenmesh.store.custody.Seen;
import org.tenmesh.store.people.PersonRole;
import org.tenmesh.web.days.CustodyStore;
import org.tenmesh.web.http.PageContext;
import org.tenmesh.web.http.Visit;
import org.tenmesh.web.words.Words;

/**
 * The account as it stands when a page is asked for.
 *
 * @param goneMostPct how much of a parcel's soil weighings may find gone before somebody is asked, % of what was received
 * @param mostDays after so many days a parcel that is still here is told, whatever its permit allows; 0 where the permit alone counts
 * @param today the laboratory's date
 */
record Account(
        List<Parcel> parcels,
        List<Move> moves,
        Ledger ledger,
        List<Expected> missing,
        Areas areas,
        Permits permits,
        double goneMostPct,
        int mostDays,
        LocalDate today,
        ZoneId zone) {
    static final Set<PersonRole> SEES =
            Set.of(PersonRole.IN_CHARGE, PersonRole.QUALITY, PersonRole.AUDITOR, PersonRole.BENCH);
    static final Set<PersonRole> WORKS = Set.of(PersonRole.IN_CHARGE, PersonRole.QUALITY, PersonRole.BENCH);

    static Account of(PageContext context, Visit visit) {
        CustodyStore store = context.store().custody();
        ZoneId zone = visit.desk().map(desk -> desk.zone()).orElse(ZoneOffset.UTC);
        Instant now = context.clock().instant();
        LocalDate today = now.atZone(zone).toLocalDate();
        List<Move> moves = store.moves();
        Ledger ledger = store.ledger();
        Policy policy =
                visit.desk().map(desk -> desk.day().laboratory().policy()).orElseGet(Policy::defaults);
        return new Account(
                store.parcels(),
                moves,
                ledger,
                Expected.missing(Expected.of(evidence(store.seen(), context.methods(), zone)), ledger),
                Areas.inForce(store.signedAreas(), today),
                Permits.inForce(store.signedPermits(), today),
                policy.number(Setting.REGULATED_GONE),
                policy.whole(Setting.REGULATED_DAYS),
                today,
                zone);
    }

    private static List<Expected.Evidence> evidence(List<Seen> seen, MethodBook methods, ZoneId zone) {
        List<Expected.Evidence> evidence = new ArrayList<>();
        for (Seen one : seen) {
            List<Expected.Reading> read = new ArrayList<>();
            for (Seen.ReadBy run : one.runs()) {
                methods.find(run.method(), run.at().atZone(zone).toLocalDate())
                        .ifPresent(method -> read.add(new Expected.Reading(method, run.run(), run.at())));
            }
            evidence.add(new Expected.Evidence(
                    one.parcel(),
                    one.labNumber(),
                    one.laidOutOn().atStartOfDay(zone).toInstant(),
                    read,
                    one.spilt()));
        }
        return evidence;
    }

    Optional<Parcel> parcel(String code) {
        return parcels.stream().filter(one -> one.code().equals(code)).findFirst();
    }

    List<Expected> missing(String parcel) {
        return missing.stream().filter(one -> one.parcel().equals(parcel)).toList();
    }

    /** Says of a parcel that more of its soil is gone than the settings allow; empty where not. */
    Optional<String> gone(String parcel, Balance balance) {
        double gonePct = balance.gonePct();
        return gonePct > goneMostPct
                ? Optional.of(Words.plain(Math.round(gonePct * 10) / 10.0) + " % of the soil of parcel " + parcel
                        + " is gone by weighing: ground away, lost, or less than the account says. The settings allow "
                        + Words.plain(goneMostPct) + " %. Look for it, or say where it is.")
                : Optional.empty();
    }

    List<Age> ages() {
        return Age.of(parcels, ledger, today, mostDays);
    }
}
