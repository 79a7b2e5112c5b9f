/** Other programs: their tokens, what they registered, the changes they follow. */
@NullMarked
package org.tenmesh.store.programs;

import org.jspecify.annotations.NullMarked;
