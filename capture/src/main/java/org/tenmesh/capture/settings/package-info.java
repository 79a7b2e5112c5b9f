/** The sources of a laboratory, read from capture.yaml. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.capture.settings;
