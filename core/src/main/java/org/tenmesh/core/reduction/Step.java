package org.tenmesh.core.reduction;

import org.tenmesh.core.quantity.Unit;

/**
 * One step in the making of a number.
 *
 * @param what in words: "Calibration from 6 standards, weighted 1/x"
 * @param arithmetic the formula with the numbers put in, or empty text when there is none
 * @param result what came out
 * @param unit of the result
 */
public record Step(String what, String arithmetic, double result, Unit unit) {}
