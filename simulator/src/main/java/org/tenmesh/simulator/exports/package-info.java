/** Readings of the invented laboratory as its invented instruments write them, with the reader of each. */
@NullMarked
package org.tenmesh.simulator.exports;

import org.jspecify.annotations.NullMarked;
