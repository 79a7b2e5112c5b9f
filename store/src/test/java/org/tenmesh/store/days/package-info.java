/** Tests of the store, against a real PostgreSQL. */
@NullMarked
package org.tenmesh.store.days;

import org.jspecify.annotations.NullMarked;
