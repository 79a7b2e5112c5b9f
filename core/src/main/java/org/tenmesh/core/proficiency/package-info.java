/** Rounds of proficiency testing: scores, bias over rounds, actions, and materials that were interchanged. */
@NullMarked
package org.tenmesh.core.proficiency;

import org.jspecify.annotations.NullMarked;
