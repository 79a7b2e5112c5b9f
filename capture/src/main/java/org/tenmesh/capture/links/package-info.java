/** Bytes from a TCP connection or a serial port. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.capture.links;
