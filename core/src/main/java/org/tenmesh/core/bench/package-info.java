/** What is done with a tray, a soil or a rack at the bench, what was done, and the one thing to do now. */
@NullMarked
package org.tenmesh.core.bench;

import org.jspecify.annotations.NullMarked;
