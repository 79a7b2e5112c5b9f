/** The faults that can be planted, and where one was. */
@NullMarked
package org.tenmesh.simulator.faults;

import org.jspecify.annotations.NullMarked;
