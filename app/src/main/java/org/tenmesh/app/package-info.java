/** The command line: settings, wiring, and one class for each command. */
@NullMarked
package org.tenmesh.app;

import org.jspecify.annotations.NullMarked;
