/** Who may sign in, with their passwords and sessions. */
@NullMarked
package org.tenmesh.store.people;

import org.jspecify.annotations.NullMarked;
