/** Clients' worksheets between the dock and the layout. */
@NullMarked
package org.tenmesh.store.sheets;

import org.jspecify.annotations.NullMarked;
