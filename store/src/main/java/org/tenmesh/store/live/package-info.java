/** Readings that arrive while their run is under way: taken once, kept as they came, put together to runs. */
@NullMarked
package org.tenmesh.store.live;

import org.jspecify.annotations.NullMarked;
