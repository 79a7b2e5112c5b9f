/** Tests. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.capture.folders;
