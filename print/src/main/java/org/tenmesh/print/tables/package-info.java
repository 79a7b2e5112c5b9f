/** Tables as files for other programs. */
@NullMarked
package org.tenmesh.print.tables;

import org.jspecify.annotations.NullMarked;
