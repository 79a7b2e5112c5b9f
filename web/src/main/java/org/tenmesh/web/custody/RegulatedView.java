package org.tenmesh.web.custody;

import java.time.ZoneId;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.tenmesh.core.custody.Age;
import org.tenmesh.core.custody.Balance;
import org.tenmesh.core.custody.Expected;
import org.tenmesh.core.custody.Ledger;
import org.tenmesh.store.custody.Became;
import org.tenmesh.store.custody.Seen;
import org.tenmesh.web.cards.RegulatedNow;
import org.tenmesh.web.cards.SilentRecorder;
import org.tenmesh.web.days.CustodyStore;
import org.tenmesh.web.words.Words;

/**
 * What is open of regulated soil, the most urgent first.
 *
 * @param warnings whole sentences
 * @param missing portions that must exist and that nobody entered, counted
 * @param became submissions that became regulated after their layout and are so
 * @param unfounded those of them of which the notes no longer say why
 * @param ordinary submissions that became regulated and are ordinary again
 * @param trays in which their soil lies
 * @param toMove regulated soil that stands on the shelf among ordinary soil
 * @param here parcels of which anything is still in the laboratory
 */
public record RegulatedView(
        List<String> warnings,
        List<MissingLine> missing,
        List<Seen.Stray> strays,
        List<Became> became,
        List<Unfounded> unfounded,
        List<Unfounded> ordinary,
        List<Became.InOneTray> trays,
        List<String> toMove,
        List<ParcelLine> here,
        List<ChargeLine> charges,
        List<BalanceLine> balance,
        boolean exact,
        int lines) {
    /** Portions of one kind of one parcel. */
    public record MissingLine(String parcel, String kind, int many, String because) {}

    /**
     * Soil that became regulated by notes that no longer say so.
     *
     * @param signatures who signed that it did not meet regulated soil, when and why
     * @param signers their names
     * @param needsQuality whether who signs next must be of quality
     */
    public record Unfounded(
            String parcel,
            String submission,
            String because,
            List<String> signatures,
            List<String> signers,
            boolean needsQuality) {
        static Unfounded of(Became one, ZoneId zone) {
            return new Unfounded(
                    one.parcel(),
                    one.submission(),
                    one.because() + ". Known since a note of " + one.by() + ", " + Words.moment(one.at(), zone) + ".",
                    one.signatures().stream()
                            .map(its -> its.by() + ", " + Words.moment(its.at(), zone) + ": " + its.reason())
                            .toList(),
                    one.signatures().stream().map(Became.Signature::by).toList(),
                    !one.signatures().isEmpty() && one.signatures().stream().noneMatch(Became.Signature::quality));
        }
    }

    /** A parcel that is still here. */
    public record ParcelLine(
            String code,
            String submission,
            String origin,
            String permit,
            int portions,
            String until,
            String state,
            boolean urgent) {}

    /** A charge. */
    public record ChargeLine(String name, String device, String treatment, int load, String state) {}

    /** One line of the balance. */
    public record BalanceLine(String word, String mass, String pieces) {}

    static RegulatedView of(Account account, CustodyStore store, List<Seen.Stray> strays, List<SilentRecorder> silent) {
        List<String> warnings = new ArrayList<>();
        silent.forEach(one -> warnings.add("Charge " + one.charge() + ": " + one.says()));
        warnings.addAll(account.permits().warnings());
        if (account.permits().permits().isEmpty()) {
            warnings.add("No permit or agreement is in force: no regulated soil can be received.");
        }
        if (account.areas().lists().isEmpty()) {
            warnings.add("No list of areas is in force: nobody can say of a soil that it is not regulated.");
        }
        account.areas().lists().stream()
                .filter(one -> one.paper().reviewBy().isBefore(account.today()))
                .forEach(one -> warnings.add("The list " + one.name() + " was to be compared with its source by "
                        + one.paper().reviewBy() + "."));
        List<Age> ages = account.ages();
        RegulatedNow.of(ages).forEach(one -> warnings.add(one.says()));
        account.parcels().stream()
                .filter(one -> !one.permitKnown())
                .forEach(
                        one -> warnings.add(
                                "The permit of parcel " + one.code()
                                        + " is not known: nothing of it may be destroyed. Ask the permit officer, and enter it on the page of the parcel."));
        Map<String, Balance> balances = account.ledger().balances();
        ages.forEach(age -> Optional.ofNullable(balances.get(age.parcel().code()))
                .flatMap(balance -> account.gone(age.parcel().code(), balance))
                .ifPresent(warnings::add));
        for (Ledger.Fault fault : account.ledger().faults()) {
            warnings.add("The account does not add up: " + fault.says()
                    + ". Run verify, and tell whoever is responsible for quality.");
        }
        Balance balance = account.ledger().balance();
        List<Became> became = store.became();
        return new RegulatedView(
                warnings,
                missing(account.missing()),
                strays,
                became.stream().filter(one -> !one.ordinaryAgain()).toList(),
                became.stream()
                        .filter(Became::open)
                        .map(one -> Unfounded.of(one, account.zone()))
                        .toList(),
                became.stream()
                        .filter(Became::ordinaryAgain)
                        .map(one -> Unfounded.of(one, account.zone()))
                        .toList(),
                store.inOneTray(),
                store.toMove(),
                ages.stream().map(RegulatedView::line).toList(),
                store.charges().stream()
                        .map(one -> new ChargeLine(
                                one.charge().name(),
                                one.charge().device(),
                                one.charge().treatment().name(),
                                one.load().size(),
                                one.words()))
                        .toList(),
                lines(balance),
                balance.exact(),
                account.moves().size());
    }

    private static List<MissingLine> missing(List<Expected> missing) {
        Map<String, List<Expected>> grouped = new LinkedHashMap<>();
        missing.forEach(one -> grouped.computeIfAbsent(one.parcel() + " " + one.kind(), key -> new ArrayList<>())
                .add(one));
        return grouped.values().stream()
                .map(same -> new MissingLine(
                        same.get(0).parcel(),
                        same.get(0).kind().phrase(),
                        same.size(),
                        same.get(0).because() + (same.size() > 1 ? " and more" : "")))
                .toList();
    }

    private static ParcelLine line(Age age) {
        return new ParcelLine(
                age.parcel().code(),
                age.parcel().submission(),
                age.parcel().origin().words(),
                age.parcel().permitKnown() ? age.parcel().permit() : "not known",
                age.here(),
                age.parcel().keepUntil().map(Words::day).orElse("none stated"),
                age.state().phrase(),
                age.alarm() || age.state() == Age.State.SOON);
    }

    static List<BalanceLine> lines(Balance balance) {
        return List.of(
                line("received", balance.received()),
                line("vessels that came with portions", balance.vessels()),
                line("here", balance.held()),
                line("destroyed", balance.destroyed()),
                line("shipped on", balance.shipped()),
                line("lost", balance.lost()),
                line("ordinary again, signed by two", balance.ordinary()),
                new BalanceLine("water that went off in drying", grams(balance.driedMg()), ""),
                new BalanceLine("lost in grinding, weighed", grams(balance.groundAwayMg()), ""),
                new BalanceLine("found less by weighing", grams(balance.differenceMg()), ""),
                line("not explained", balance.rest()));
    }

    private static BalanceLine line(String word, Balance.Amount amount) {
        return new BalanceLine(word, grams(amount.massMg()), Words.count(amount.pieces()));
    }

    /** "1 234.5" of milligrams. */
    static String grams(long massMg) {
        return Words.plain(massMg / 1000.0);
    }
}
