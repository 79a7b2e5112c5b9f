/** People, sign-in and the journal. */
@NullMarked
package org.tenmesh.web.people;

import org.jspecify.annotations.NullMarked;
