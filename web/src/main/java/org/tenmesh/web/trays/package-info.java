/** Trays and the bench. */
@NullMarked
package org.tenmesh.web.trays;

import org.jspecify.annotations.NullMarked;
