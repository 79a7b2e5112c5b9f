package org.tenmesh.simulator;

import org.tenmesh.core.judgement.Day;

/**
 * A made-up day and what is true of it.
 *
 * @param day what a laboratory would have
 * @param truth what it can never have
 */
public record SimulatedDay(Day day, Truth truth) {}
