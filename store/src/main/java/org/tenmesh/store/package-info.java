/**
 * PostgreSQL: schema, queries, COPY, the embedded server and the journal.
 *
 * <p>One door, {@link org.tenmesh.store.Store}: it opens a database (its own or one by URL), brings the schema up to
 * date and answers in the records of {@code core}. Everything that happens is written to the journal in the transaction
 * that does it. The packages below are not for other modules, but for the values that this door takes and gives.
 */
@NullMarked
package org.tenmesh.store;

import org.jspecify.annotations.NullMarked;
