/** Dated method definitions: ratio, quantities, limits, rounding and source, as plain data. */
@NullMarked
package org.tenmesh.core.methods;

import org.jspecify.annotations.NullMarked;
