/** How fast the warm kernel is; measured, not tested. */
@NullMarked
package org.tenmesh.proof.benchmark;

import org.jspecify.annotations.NullMarked;
