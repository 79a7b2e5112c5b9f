/** Control charts over the history of a control material: limits, run rules, small shifts, and how often each gives a false alarm. */
@NullMarked
package org.tenmesh.core.charts;

import org.jspecify.annotations.NullMarked;
