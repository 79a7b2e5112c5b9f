package org.tenmesh.web.days;

import java.util.List;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;

/**
 * A day that is stored and cannot be shown, because reading or judging it failed.
 *
 * @param day its name
 * @param digest of all that was imported into it when it failed
 * @param why what failed; may name a lab number that is a hidden control, so it is for those who see the key
 * @param reference stands beside the cause in the log
 */
public record NotJudged(String day, String digest, String why, String reference) {
    private static final Logger LOG = LoggerFactory.getLogger(NotJudged.class);

    /** A failure, told in the log. */
    static NotJudged told(LaboratoryStore.Mark day, String doing, Throwable e) {
        String reference = Integer.toHexString(Long.hashCode(System.nanoTime()));
        LOG.error("fault {}: {} day {} failed; the day is kept", reference, doing, day.day(), e);
        String said = e.getMessage();
        return new NotJudged(
                day.day(),
                day.digest(),
                doing + " it, " + e.getClass().getSimpleName() + (said == null ? "" : ", " + said),
                reference);
    }

    /** What pages say of it. */
    public String sentence(boolean seesControls) {
        return "Day " + day + " could not be judged and is not shown. Its readings are kept as they were taken. "
                + (seesControls ? "What failed: " + why + ". " : "")
                + "It is judged again at the next start of the program, and when something is added to it. Give the "
                + "administrator the reference " + reference + ".";
    }

    /** Whether a day is among those that could not be judged. */
    static boolean names(LaboratoryStore.Mark day, List<NotJudged> failed) {
        return failed.stream().anyMatch(one -> one.day().equals(day.day()));
    }
}
