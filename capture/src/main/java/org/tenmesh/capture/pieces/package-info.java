/** What came and where it is kept. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.capture.pieces;
