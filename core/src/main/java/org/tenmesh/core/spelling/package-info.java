/** How far two written words are apart. */
@NullMarked
package org.tenmesh.core.spelling;

import org.jspecify.annotations.NullMarked;
