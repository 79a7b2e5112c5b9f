/** Labels for bags and trays. */
@NullMarked
package org.tenmesh.print.labels;

import org.jspecify.annotations.NullMarked;
