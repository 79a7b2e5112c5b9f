/** A laboratory of many days loses its machine and is restored. */
@NullMarked
package org.tenmesh.proof.restore;

import org.jspecify.annotations.NullMarked;
