/** Temperatures of a device as its recorder sends them. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.capture.recorder;
