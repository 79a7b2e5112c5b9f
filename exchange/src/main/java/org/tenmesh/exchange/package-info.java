/**
 * Text in and out: day folders, method files, readers of instrument exports, worksheets and result files.
 *
 * <p>Entry points: {@link org.tenmesh.exchange.DayFolder} for a laboratory day, {@link
 * org.tenmesh.exchange.MethodFiles} for method definitions, {@link org.tenmesh.exchange.JudgedFiles} for what the judge
 * says, {@link org.tenmesh.exchange.InstrumentReader} for an instrument's own export, {@link
 * org.tenmesh.exchange.Worksheets} for a client's sheet. Whatever could not be taken comes back as a {@link
 * org.tenmesh.exchange.Problem}.
 */
@NullMarked
package org.tenmesh.exchange;

import org.jspecify.annotations.NullMarked;
