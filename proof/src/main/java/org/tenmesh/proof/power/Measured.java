package org.tenmesh.proof.power;

import java.util.List;
import java.util.Map;

/**
 * What the study measured.
 *
 * @param program version and commit of what was measured
 * @param date of the commit
 * @param clean where the days lay, in plain words, with what was said of them
 * @param limit by method; empty when it was not calculated
 * @param tables real soils that were used
 * @param only which rows were asked for; empty = all
 */
record Measured(
        Study study,
        String program,
        String date,
        List<Study.Counted> rows,
        Map<String, CleanDays> clean,
        Map<Study.Where, CleanDays> cleanWhere,
        Map<String, Limit.Known> limit,
        List<RealTables.Used> tables,
        String only) {}
