/** Trays. */
@NullMarked
package org.tenmesh.web.trays;

import org.jspecify.annotations.NullMarked;
