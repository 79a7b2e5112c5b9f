/** Days with one thing wrong in them: what the program says of each. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.proof.mutate;
