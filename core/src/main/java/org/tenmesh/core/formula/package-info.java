/** Formulas that a method states as data: checked for their units before they are used, and safe, because they can only calculate. */
@NullMarked
package org.tenmesh.core.formula;

import org.jspecify.annotations.NullMarked;
