package org.tenmesh.store.days;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.tenmesh.core.judgement.Day;
import org.tenmesh.core.reduction.Run;

/**
 * A day as it was read from the record. When it is read again with this at hand, the readings of a run that is stored under the same
 * digest are not read a second time, and a list that holds the same is the same object.
 *
 * @param digests of the runs as they are stored beside them, see {@link RunDigest}; in the order of the day's runs
 */
public record ReadDay(Day day, List<String> digests) {
    public ReadDay {
        digests = List.copyOf(digests);
        if (digests.size() != day.runs().size()) {
            throw new IllegalArgumentException(
                    digests.size() + " digests for " + day.runs().size() + " runs");
        }
    }

    Map<String, Run> runs() {
        Map<String, Run> runs = new HashMap<>();
        for (int i = 0; i < digests.size(); i++) {
            runs.put(digests.get(i), day.runs().get(i));
        }
        return runs;
    }

    /** This, with every part that is equal to one of a day read before as the object it was then. */
    ReadDay keeping(Day before) {
        return new ReadDay(
                new Day(
                        kept(before.laboratory(), day.laboratory()),
                        kept(before.submissions(), day.submissions()),
                        kept(before.soils(), day.soils()),
                        kept(before.trays(), day.trays()),
                        kept(before.controls(), day.controls()),
                        kept(before.materials(), day.materials()),
                        kept(before.standards(), day.standards()),
                        day.runs(),
                        kept(before.packages(), day.packages()),
                        kept(before.shortages(), day.shortages())),
                digests);
    }

    private static <T> T kept(T before, T now) {
        return before.equals(now) ? before : now;
    }
}
