/** What the bench does: who stands where in a run, and how soils get mixed up there. */
@NullMarked
package org.tenmesh.simulator.bench;

import org.jspecify.annotations.NullMarked;
