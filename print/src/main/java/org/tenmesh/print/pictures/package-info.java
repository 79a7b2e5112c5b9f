/** Pictures of pages as files for other programs. */
@NullMarked
package org.tenmesh.print.pictures;

import org.jspecify.annotations.NullMarked;
