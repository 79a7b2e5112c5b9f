/** The start script, run on stand-ins for the JDK and the build. */
@NullMarked
package org.tenmesh.proof.launcher;

import org.jspecify.annotations.NullMarked;
