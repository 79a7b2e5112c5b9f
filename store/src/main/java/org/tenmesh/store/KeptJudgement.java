package org.tenmesh.store;

import java.time.Instant;
import org.tenmesh.core.causes.JudgedDay;

/**
 * A judged day as it was last kept: a cache, true for these inputs only.
 *
 * @param inputsDigest key of the day, digest of everything that it was judged by (DayJudge.key)
 * @param judged read by {@link Store#judgement}, its control values are empty: they are sealed
 */
public record KeptJudgement(String inputsDigest, Instant keptAt, JudgedDay judged) {}
