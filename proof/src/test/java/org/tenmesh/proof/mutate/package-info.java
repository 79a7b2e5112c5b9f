/** Days with a mistake in them, few enough for every build. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.proof.mutate;
