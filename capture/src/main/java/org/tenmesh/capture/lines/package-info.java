/** Readings that come line by line. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.capture.lines;
