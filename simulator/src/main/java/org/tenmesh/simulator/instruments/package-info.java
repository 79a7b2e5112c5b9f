/** The models of the instruments, each with its faults. */
@NullMarked
package org.tenmesh.simulator.instruments;

import org.jspecify.annotations.NullMarked;
