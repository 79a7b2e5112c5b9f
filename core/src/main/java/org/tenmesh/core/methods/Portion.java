package org.tenmesh.core.methods;

/**
 * What is taken from a well for a determination. Methods that name the same portion share one: the pH and the buffer pH of one
 * suspension, nitrate and ammonium of one extract.
 *
 * @param name such as {@code suspension-1-1}; the same name always takes the same soil
 * @param soilG soil it uses up, g
 */
public record Portion(String name, double soilG) {}
