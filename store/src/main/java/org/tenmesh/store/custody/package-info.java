/** Regulated soil in the database: lists of areas, permits, the account of every portion, and what destroyed it. */
@NullMarked
package org.tenmesh.store.custody;

import org.jspecify.annotations.NullMarked;
