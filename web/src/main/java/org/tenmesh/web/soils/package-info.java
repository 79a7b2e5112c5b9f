/** One lab number with the explanation of each of its numbers. */
@NullMarked
package org.tenmesh.web.soils;

import org.jspecify.annotations.NullMarked;
