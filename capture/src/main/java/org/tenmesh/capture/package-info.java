/** Where readings come from by themselves. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.capture;
