package org.tenmesh.store.judged;

import java.time.Instant;
import org.tenmesh.core.causes.JudgedDay;

/**
 * A judged day as it was last kept: a cache, true for these inputs only.
 *
 * @param inputsDigest key of the day, digest of everything that it was judged by (DayJudge.key)
 * @param judged read by the store, its control values are empty: they are sealed
 */
public record KeptJudgement(String inputsDigest, Instant keptAt, JudgedDay judged) {}
