/** What the judge said of a day and what people did about its causes; what only the quality user may read. */
@NullMarked
package org.tenmesh.store.judged;

import org.jspecify.annotations.NullMarked;
