/** Readings and a method version in, determinations out; pure, and able to explain every step. */
@NullMarked
package org.tenmesh.core.reduction;

import org.jspecify.annotations.NullMarked;
