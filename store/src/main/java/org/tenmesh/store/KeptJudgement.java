package org.tenmesh.store;

import java.time.Instant;
import org.tenmesh.core.causes.JudgedDay;

/**
 * A judged day as it was last kept: a cache, true for these inputs only.
 *
 * @param inputsDigest digest of everything the judge was given, in the form the keeper chose
 * @param judged read by {@link Store#judgement}, its control values are empty: they are sealed
 */
public record KeptJudgement(String inputsDigest, Instant keptAt, JudgedDay judged) {}
