/** How notes at the bench are read from their table. */
@NullMarked
package org.tenmesh.store.bench;

import org.jspecify.annotations.NullMarked;
