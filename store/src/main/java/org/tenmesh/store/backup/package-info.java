/** Online copies of the program's own PostgreSQL, what was written since, and the way back. */
@NullMarked
package org.tenmesh.store.backup;

import org.jspecify.annotations.NullMarked;
