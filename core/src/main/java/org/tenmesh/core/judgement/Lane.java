package org.tenmesh.core.judgement;

/**
 * What is calibrated and judged by itself: one analyte, under one probe or in one cell where there are several.
 *
 * @param column of the analyte
 * @param channel the probe or cell; empty text when there is one detector for all
 */
record Lane(int column, String channel) {}
