/** Run orders as they are kept. */
@NullMarked
package org.tenmesh.store.orders;

import org.jspecify.annotations.NullMarked;
