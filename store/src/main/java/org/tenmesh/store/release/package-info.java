/** Signed releases of submissions and their revisions. */
@NullMarked
package org.tenmesh.store.release;

import org.jspecify.annotations.NullMarked;
