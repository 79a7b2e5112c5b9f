/** The command line from end to end, on simulated days whose truth is known. */
@NullMarked
package org.tenmesh.proof.command;

import org.jspecify.annotations.NullMarked;
