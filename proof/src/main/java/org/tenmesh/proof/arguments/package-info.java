/** What the commands of this module are given. */
@NullMarked
package org.tenmesh.proof.arguments;

import org.jspecify.annotations.NullMarked;
