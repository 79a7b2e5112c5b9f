/** Seeded draws, and the digits that an instrument shows. */
@NullMarked
package org.tenmesh.simulator.numbers;

import org.jspecify.annotations.NullMarked;
