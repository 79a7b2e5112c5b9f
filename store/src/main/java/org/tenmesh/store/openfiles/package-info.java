/** The whole record as files that need no program to be read. */
@NullMarked
package org.tenmesh.store.openfiles;

import org.jspecify.annotations.NullMarked;
