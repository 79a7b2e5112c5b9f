/** The frame protocol of analysers. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.capture.frames;
