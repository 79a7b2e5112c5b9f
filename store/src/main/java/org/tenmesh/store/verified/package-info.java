/** Everything that is stored, compared with what the journal says of it. */
@NullMarked
package org.tenmesh.store.verified;

import org.jspecify.annotations.NullMarked;
