/** Pictures with axes: what was measured beside what is allowed of it, each point to be reached and named. */
@NullMarked
package org.tenmesh.web.pictures;

import org.jspecify.annotations.NullMarked;
