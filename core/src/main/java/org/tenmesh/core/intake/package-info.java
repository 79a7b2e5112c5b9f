/** What came in: submissions, soils, lab numbers and their check character. */
@NullMarked
package org.tenmesh.core.intake;

import org.jspecify.annotations.NullMarked;
