/** Which value stands when a determination was made again. */
@NullMarked
package org.tenmesh.core.redo;

import org.jspecify.annotations.NullMarked;
