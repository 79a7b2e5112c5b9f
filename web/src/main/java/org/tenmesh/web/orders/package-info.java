/** Run orders: what waits for each instrument, and what it is to read. */
@NullMarked
package org.tenmesh.web.orders;

import org.jspecify.annotations.NullMarked;
