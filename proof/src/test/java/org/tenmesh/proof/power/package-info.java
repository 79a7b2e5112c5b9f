/** The power study in small. */
@NullMarked
package org.tenmesh.proof.power;

import org.jspecify.annotations.NullMarked;
