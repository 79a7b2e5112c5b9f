/** The days behind the pages: what is asked of the store, and the newest day kept judged. */
@NullMarked
package org.tenmesh.web.days;

import org.jspecify.annotations.NullMarked;
