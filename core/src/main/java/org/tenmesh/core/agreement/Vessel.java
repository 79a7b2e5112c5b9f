package org.tenmesh.core.agreement;

/**
 * What vessels give of which no soil need be known, in the order of the method's columns.
 *
 * @param emptyMean of a vessel without soil
 * @param emptySd standard deviation of the same
 * @param repeatSd standard deviation of one soil read again
 */
public record Vessel(double[] emptyMean, double[] emptySd, double[] repeatSd) {}
