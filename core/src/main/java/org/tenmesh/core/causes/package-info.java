/** The whole day judged: findings grouped into causes, verdicts for every determination. */
@NullMarked
package org.tenmesh.core.causes;

import org.jspecify.annotations.NullMarked;
