/** Least squares, precision and distribution functions; each with its source. */
@NullMarked
package org.tenmesh.core.statistics;

import org.jspecify.annotations.NullMarked;
