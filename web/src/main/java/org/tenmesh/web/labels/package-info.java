/** Labels for trays, soils, racks and boxes, and the sealed layout sheet. */
@NullMarked
package org.tenmesh.web.labels;

import org.jspecify.annotations.NullMarked;
