/** Released results for other programs. */
@NullMarked
package org.tenmesh.exchange.results;

import org.jspecify.annotations.NullMarked;
