/** Pictures of the demo for its documentation. */
@NullMarked
package org.tenmesh.proof.demo;

import org.jspecify.annotations.NullMarked;
