/** Trays of twelve wells, hidden controls placed by seed, and the key well. */
@NullMarked
package org.tenmesh.core.layout;

import org.jspecify.annotations.NullMarked;
