/** What an instrument is to read: run orders, and what was read beside what was ordered. */
@NullMarked
package org.tenmesh.core.orders;

import org.jspecify.annotations.NullMarked;
