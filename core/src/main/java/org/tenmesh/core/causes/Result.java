package org.tenmesh.core.causes;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import org.tenmesh.core.intake.LabNumber;
import org.tenmesh.core.judgement.Verdict;
import org.tenmesh.core.quantity.Amount;

/**
 * One determination of one lab number, judged.
 *
 * @param methodVersion date of the version of the method that gave it
 * @param run the run it came from; empty text for what comes from none: derived results, portions without enough soil
 * @param position where in that run; 0 when it was expected but never read, or comes from no run
 * @param amount full precision
 * @param reported rounded text, limits included; empty when there is no number
 * @param expandedUncertainty 95.45 % coverage, same unit; empty when there is no number, and where a calculated number lies at the end of its scale
 * @param causes keys of what went wrong as text, see {@link CauseKey#text()}; empty when nothing touches it
 */
public record Result(
        LabNumber labNumber,
        String method,
        LocalDate methodVersion,
        String analyte,
        String run,
        int position,
        String channel,
        Amount amount,
        String reported,
        OptionalDouble expandedUncertainty,
        Verdict verdict,
        List<String> causes) {
    /** The same result, held by one more cause, or by a gate that a person shut. */
    public Result heldBy(String cause) {
        List<String> all = new ArrayList<>(causes);
        all.add(cause);
        return new Result(
                labNumber,
                method,
                methodVersion,
                analyte,
                run,
                position,
                channel,
                amount,
                reported,
                expandedUncertainty,
                verdict.or(Verdict.HOLD),
                List.copyOf(all));
    }

    /** The same result with these causes. */
    Result withCauses(List<String> keys) {
        return new Result(
                labNumber,
                method,
                methodVersion,
                analyte,
                run,
                position,
                channel,
                amount,
                reported,
                expandedUncertainty,
                verdict,
                keys);
    }

    /** The same result with this verdict. */
    public Result with(Verdict other) {
        return new Result(
                labNumber,
                method,
                methodVersion,
                analyte,
                run,
                position,
                channel,
                amount,
                reported,
                expandedUncertainty,
                other,
                causes);
    }

    /** The same result under another name of its run. */
    public Result inRun(String name) {
        return new Result(
                labNumber,
                method,
                methodVersion,
                analyte,
                name,
                position,
                channel,
                amount,
                reported,
                expandedUncertainty,
                verdict,
                causes);
    }

    /**
     * Whether it is fit only because a person let it stand: the judge gives no cause to a result that is fit, so one that is fit and
     * has causes was failed by a check, and every cause was accepted.
     */
    public boolean isAccepted() {
        return verdict == Verdict.FIT && !causes.isEmpty();
    }

    /** Whether a run was to read it and did not. A result that comes from no run at all was not to be read. */
    public boolean unread() {
        return position == 0 && !run.isEmpty();
    }
}
