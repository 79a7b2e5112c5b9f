/** The database itself: our own PostgreSQL or one by URL, its users, their passwords and the schema. */
@NullMarked
package org.tenmesh.store.server;

import org.jspecify.annotations.NullMarked;
