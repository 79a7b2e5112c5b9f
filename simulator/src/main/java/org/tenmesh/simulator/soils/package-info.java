/** What the invented soils are and truly hold. */
@NullMarked
package org.tenmesh.simulator.soils;

import org.jspecify.annotations.NullMarked;
