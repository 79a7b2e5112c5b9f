/** Tables of comma-separated values. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.exchange.csv;
