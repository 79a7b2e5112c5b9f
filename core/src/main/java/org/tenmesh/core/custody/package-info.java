/**
 * Regulated soil: which origins make a soil regulated, under which permit it is kept, where every portion of it is, and what destroys it. Nothing
 * here is in force of itself: lists of areas, permits and treatments come from outside, in versions that somebody signed.
 */
@NullMarked
package org.tenmesh.core.custody;

import org.jspecify.annotations.NullMarked;
