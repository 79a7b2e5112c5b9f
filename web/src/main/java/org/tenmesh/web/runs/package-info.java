/** Runs, control soils, differences and charts. */
@NullMarked
package org.tenmesh.web.runs;

import org.jspecify.annotations.NullMarked;
