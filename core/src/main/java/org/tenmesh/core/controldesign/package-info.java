/** How many hidden controls a laboratory needs and how they should lie: what a shift costs before it is seen. */
@NullMarked
package org.tenmesh.core.controldesign;

import org.jspecify.annotations.NullMarked;
