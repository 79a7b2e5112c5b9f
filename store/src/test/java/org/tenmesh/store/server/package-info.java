/** Tests of the store, against a real PostgreSQL. */
@NullMarked
package org.tenmesh.store.server;

import org.jspecify.annotations.NullMarked;
