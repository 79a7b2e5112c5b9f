/** The pictures of pages and reports as SVG text. */
@NullMarked
package org.tenmesh.print.drawings;

import org.jspecify.annotations.NullMarked;
