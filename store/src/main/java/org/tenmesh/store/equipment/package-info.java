/** Lots, equipment and what was noted about them. */
@NullMarked
package org.tenmesh.store.equipment;

import org.jspecify.annotations.NullMarked;
