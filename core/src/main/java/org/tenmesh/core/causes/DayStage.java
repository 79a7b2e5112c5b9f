package org.tenmesh.core.causes;

/**
 * The second stage: a day, judged from its runs and from all that is known beside them.
 *
 * @param key as {@link DayJudge#key}: equal keys, equal judged days
 * @param judged the day
 * @param stages to be handed in when the day is judged again
 */
public record DayStage(String key, JudgedDay judged, Stages stages) {}
