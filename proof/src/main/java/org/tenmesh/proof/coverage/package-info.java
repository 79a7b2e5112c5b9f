/** Days on which nothing goes wrong, of every method: what the judge says of them, and whether the stated uncertainty covers the truth. */
@NullMarked
package org.tenmesh.proof.coverage;

import org.jspecify.annotations.NullMarked;
