/** The day folder: one laboratory day as CSV files. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.exchange.day;
