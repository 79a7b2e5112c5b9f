/** Tests of the store, against a real PostgreSQL. */
@NullMarked
package org.tenmesh.store.journal;

import org.jspecify.annotations.NullMarked;
