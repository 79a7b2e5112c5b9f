/** Today, causes, gates and the list of days. */
@NullMarked
package org.tenmesh.web.today;

import org.jspecify.annotations.NullMarked;
