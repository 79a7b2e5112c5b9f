/** The commands that show what the program goes by: checks, methods, policy. */
@NullMarked
package org.tenmesh.app.reference;

import org.jspecify.annotations.NullMarked;
