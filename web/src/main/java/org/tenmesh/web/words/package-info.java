/** How pages write numbers, days, addresses and small pictures. */
@NullMarked
package org.tenmesh.web.words;

import org.jspecify.annotations.NullMarked;
