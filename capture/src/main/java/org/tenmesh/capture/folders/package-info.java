/** Folders into which instruments put their exports. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.capture.folders;
