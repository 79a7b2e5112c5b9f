/**
 * Drawings (SVG), client reports (PDF) and labels, made from core types only.
 *
 * <pre>{@code
 * String plate = Drawings.plate(
 *         new Drawings.Plate("0188", wells, OptionalInt.of(2), false), 28, Palette.SCREEN);
 * String label = Labels.code128("26329-0417-T");
 * byte[] pdf = Reports.pdf(report);
 * }</pre>
 */
@NullMarked
package org.tenmesh.print;

import org.jspecify.annotations.NullMarked;
