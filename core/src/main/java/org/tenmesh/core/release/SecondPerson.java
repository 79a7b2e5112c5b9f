package org.tenmesh.core.release;

import java.time.Instant;
import java.time.ZoneOffset;
import java.util.Collection;
import java.util.List;
import java.util.Optional;
import java.util.TreeSet;

/**
 * Whether the laboratory asks that a release is signed by somebody who did none of the work behind it, and who signed that it does or does
 * not. As shipped it is asked. A laboratory of one person signs that it is not, and every release then says so.
 *
 * @param number of this decision, from 1; 0 as shipped
 * @param reason why; empty text as shipped
 * @param signedBy who signed it; empty text as shipped
 */
public record SecondPerson(long number, boolean asked, String reason, String signedBy, Instant at) {
    /** What is said of a release of which every result is held: it takes back and approves nothing, so nobody has to wait for another. */
    public static final String NOTHING_APPROVED = "Every result is held, so nothing is approved.";

    /** Of work in one sentence no more pieces than these. */
    private static final int NAMED = 4;

    public SecondPerson {
        if (number < 0 || (number > 0 && (reason.isBlank() || signedBy.isBlank()))) {
            throw new IllegalArgumentException(
                    "decision " + number + " on the second person: expected a reason and the name of who signed it");
        }
    }

    /** What holds before anybody signed anything else. */
    public static SecondPerson shipped() {
        return new SecondPerson(0, true, "", "", Instant.EPOCH);
    }

    /**
     * Why this person may not sign, in sentences that say what they did and who may sign instead.
     *
     * @param work all that is behind what would be signed
     * @param signers everybody who may sign releases here
     * @return empty where nothing stands against it
     */
    public Optional<String> refuses(String person, Collection<WorkBehind> work, Collection<String> signers) {
        List<WorkBehind> own = of(person, work);
        if (!asked || own.isEmpty()) {
            return Optional.empty();
        }
        List<String> others = signers.stream()
                .filter(name -> of(name, work).isEmpty())
                .sorted()
                .toList();
        return Optional.of("You did work behind these results: you " + phrases(own)
                + ". This laboratory asks that somebody signs who did none of it. "
                + (others.isEmpty()
                        ? "Everybody who may sign did some of it: another person must be given the right first, or the"
                                + " laboratory signs that it asks for no second person."
                        : "May sign: " + String.join(", ", others) + "."));
    }

    /** What a release says of its approval, for the record: who did the work, and by which rule the signer may sign. */
    public String approval(String person, Collection<WorkBehind> work) {
        List<WorkBehind> own = of(person, work);
        if (work.isEmpty()) {
            return "The record names nobody who did the work at the bench.";
        }
        if (own.isEmpty()) {
            TreeSet<String> people = new TreeSet<>();
            work.forEach(one -> people.add(one.person()));
            return "Signed by somebody who did none of the work; it was done by " + String.join(", ", people) + ".";
        }
        if (asked) {
            throw new IllegalStateException(person + " did the work and may not sign");
        }
        return "Signed by a person who did work behind it (" + phrases(own)
                + "): this laboratory asks for no second person, signed by " + signedBy + " on "
                + at.atOffset(ZoneOffset.UTC).toLocalDate() + ": " + reason;
    }

    private static List<WorkBehind> of(String person, Collection<WorkBehind> work) {
        return work.stream()
                .filter(one -> one.person().equalsIgnoreCase(person))
                .toList();
    }

    private static String phrases(List<WorkBehind> own) {
        String first = String.join(
                ", ", own.stream().limit(NAMED).map(WorkBehind::phrase).toList());
        return own.size() > NAMED ? first + " and " + (own.size() - NAMED) + " more" : first;
    }
}
