/** Kills servers and databases while readings arrive, and looks what is left. */
@NullMarked
package org.tenmesh.proof.kill;

import org.jspecify.annotations.NullMarked;
