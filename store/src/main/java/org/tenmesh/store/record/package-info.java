/** What is kept, found by its own address whatever the day; what the bench may see of it. */
@NullMarked
package org.tenmesh.store.record;

import org.jspecify.annotations.NullMarked;
