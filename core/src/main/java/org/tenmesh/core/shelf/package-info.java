/** Soils after their release: places, boxes, loans, how long a soil is kept, what may be discarded. */
@NullMarked
package org.tenmesh.core.shelf;

import org.jspecify.annotations.NullMarked;
