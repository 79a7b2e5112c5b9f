/** The interface for other programs, and the page of their tokens. */
@NullMarked
package org.tenmesh.web.programs;

import org.jspecify.annotations.NullMarked;
