/** What comes in at the dock: counted against its sheet, exceptions settled, and when it may be laid out. */
@NullMarked
package org.tenmesh.core.dock;

import org.jspecify.annotations.NullMarked;
