/** Rows of tables as the database takes and gives them: COPY, JSON, digests of rows, and what is refused. */
@NullMarked
package org.tenmesh.store.rows;

import org.jspecify.annotations.NullMarked;
