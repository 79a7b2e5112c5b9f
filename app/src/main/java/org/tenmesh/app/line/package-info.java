/** The command line itself: words and options of a call, what is printed, the exit status. */
@NullMarked
package org.tenmesh.app.line;

import org.jspecify.annotations.NullMarked;
