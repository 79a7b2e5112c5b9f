/** Looking back from something that went wrong: what was read since the last good check, and which reports of it are out. */
@NullMarked
package org.tenmesh.core.lookback;

import org.jspecify.annotations.NullMarked;
