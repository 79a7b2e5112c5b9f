/** The rules of the house plan, as tests. */
@NullMarked
package org.tenmesh.proof.house;

import org.jspecify.annotations.NullMarked;
