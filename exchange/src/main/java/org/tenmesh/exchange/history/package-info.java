/** Earlier days for charts and for what is usual of a client. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.exchange.history;
