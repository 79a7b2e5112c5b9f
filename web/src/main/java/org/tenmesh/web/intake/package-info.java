/** The dock: worksheets that came, and their layout. */
@NullMarked
package org.tenmesh.web.intake;

import org.jspecify.annotations.NullMarked;
