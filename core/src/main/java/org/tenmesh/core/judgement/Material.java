package org.tenmesh.core.judgement;

import java.util.OptionalInt;
import org.tenmesh.core.quantity.Unit;

/**
 * What a control soil is known to give.
 *
 * @param mean established value
 * @param sd standard deviation of single results between runs, same unit
 * @param n results behind mean and sd
 */
public record Material(
        String material, String method, String analyte, double mean, double sd, Unit unit, OptionalInt n) {}
