/** What may leave: signed statements with revisions. */
@NullMarked
package org.tenmesh.core.release;

import org.jspecify.annotations.NullMarked;
