/** What runs next: run orders made of what waits. */
@NullMarked
package org.tenmesh.core.planning;

import org.jspecify.annotations.NullMarked;
