/** Lots, equipment and looking back: what results rest on, and what follows when that was not good. */
@NullMarked
package org.tenmesh.web.equipment;

import org.jspecify.annotations.NullMarked;
