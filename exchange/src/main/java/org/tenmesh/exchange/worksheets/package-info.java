/** Client submissions as worksheets. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.exchange.worksheets;
