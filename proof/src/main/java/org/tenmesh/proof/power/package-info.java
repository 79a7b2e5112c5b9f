/** What the judge finds of what is planted, and how often it speaks falsely: measured, written to {@code docs/validation}. */
@NullMarked
package org.tenmesh.proof.power;

import org.jspecify.annotations.NullMarked;
