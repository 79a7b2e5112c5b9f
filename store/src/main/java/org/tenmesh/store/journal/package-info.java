/** The append-only journal, each entry chained to the one before it by its hash. */
@NullMarked
package org.tenmesh.store.journal;

import org.jspecify.annotations.NullMarked;
