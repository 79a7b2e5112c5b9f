/** Whether a soil's results by one method agree with its results by the others, and which exchange of soils would make them agree. */
@NullMarked
package org.tenmesh.core.agreement;

import org.jspecify.annotations.NullMarked;
