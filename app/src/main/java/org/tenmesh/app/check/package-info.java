/**
 * Published worked examples, re-run through the program's own code: for each its source, what is expected and what came out.
 *
 * <p>{@code Checks.run()} gives the report; {@code report.print(System.out)} prints it.
 */
@NullMarked
package org.tenmesh.app.check;

import org.jspecify.annotations.NullMarked;
