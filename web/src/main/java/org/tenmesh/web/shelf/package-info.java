/** The shelf: where a soil is, loans, holds, discard lists. */
@NullMarked
package org.tenmesh.web.shelf;

import org.jspecify.annotations.NullMarked;
