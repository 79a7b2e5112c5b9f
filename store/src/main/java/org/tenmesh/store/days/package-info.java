/** The laboratory record by day: how an import is taken into it, and how a day is read from it. */
@NullMarked
package org.tenmesh.store.days;

import org.jspecify.annotations.NullMarked;
