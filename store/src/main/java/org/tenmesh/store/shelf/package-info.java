/** The shelf: what people did there, and where everything is. */
@NullMarked
package org.tenmesh.store.shelf;

import org.jspecify.annotations.NullMarked;
