/** Days written by hand for tests of every module: plain defaults, and each field can be set. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.core.made;
