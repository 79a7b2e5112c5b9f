/** Amounts with their units, limits as cases of the type, and the one rounding rule. */
@NullMarked
package org.tenmesh.core.quantity;

import org.jspecify.annotations.NullMarked;
