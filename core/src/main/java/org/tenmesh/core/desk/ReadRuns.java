package org.tenmesh.core.desk;

import java.util.Iterator;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.function.Supplier;
import org.tenmesh.core.reduction.Run;

/**
 * The runs of one day as they were reduced: those that were asked for last, of up to {@value #MOST} determinations together. A day's
 * readings, methods and history do not change, so what people do about it leaves them as they are. May be read by any number of threads.
 */
final class ReadRuns {
    /** About 20 MB; a whole day of 4,000 soils by three methods has 60,000. */
    private static final int MOST = 80_000;

    private final Map<String, Optional<ReadRun>> kept = new LinkedHashMap<>(16, 0.75f, true);
    private int size;

    /** @param made reduces the run */
    Optional<ReadRun> of(Run run, Supplier<Optional<ReadRun>> made) {
        synchronized (kept) {
            Optional<ReadRun> known = kept.get(run.run());
            if (known != null) {
                return known;
            }
        }
        // Two threads that ask at once reduce the same run twice and get the same.
        Optional<ReadRun> read = made.get();
        synchronized (kept) {
            if (kept.putIfAbsent(run.run(), read) == null) {
                size += size(read);
            }
            Iterator<Map.Entry<String, Optional<ReadRun>>> oldest =
                    kept.entrySet().iterator();
            while (size > MOST && kept.size() > 1) {
                size -= size(oldest.next().getValue());
                oldest.remove();
            }
        }
        return read;
    }

    private static int size(Optional<ReadRun> read) {
        return read.map(one -> one.reduced().determinations().size()).orElse(0);
    }
}
