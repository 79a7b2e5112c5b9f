/** Results that are calculated from other results of the same soil, with their uncertainty and their story. */
@NullMarked
package org.tenmesh.core.derived;

import org.jspecify.annotations.NullMarked;
