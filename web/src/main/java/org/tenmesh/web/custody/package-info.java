/** Regulated soil: what is open, a parcel, a charge, the lists of areas and the permits. */
@NullMarked
package org.tenmesh.web.custody;

import org.jspecify.annotations.NullMarked;
