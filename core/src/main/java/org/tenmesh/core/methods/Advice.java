package org.tenmesh.core.methods;

/**
 * Whose advice a method's results are.
 *
 * @param region where it holds, and nowhere else
 * @param deference the sentence printed with it: local recommendations and licensed practice come first
 */
public record Advice(String region, String deference) {}
