/** Pieces turned into readings of runs. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.capture.runs;
