/** What was printed of labels. */
@NullMarked
package org.tenmesh.store.labels;

import org.jspecify.annotations.NullMarked;
