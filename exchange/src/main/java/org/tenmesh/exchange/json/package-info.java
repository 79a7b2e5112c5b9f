/** JSON written. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.exchange.json;
