/** Days written by hand for tests of every module: plain defaults, and each field can be set. And folders that take long to make. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.core.made;
