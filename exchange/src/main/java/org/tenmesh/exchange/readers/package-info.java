/** Exports of instruments, read by descriptions. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.exchange.readers;
