/** The bench: what is to be done with a tray, a soil or a rack, and what was noted. */
@NullMarked
package org.tenmesh.web.bench;

import org.jspecify.annotations.NullMarked;
