/** How each source stands. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.capture.state;
