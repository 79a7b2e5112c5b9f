/** SVG as text, and what every drawing shares: colours, axes, shapes and the figures on them. */
@NullMarked
package org.tenmesh.print.svg;

import org.jspecify.annotations.NullMarked;
