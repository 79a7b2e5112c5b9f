/** Gates, blanks, check solutions, controls and duplicates: what each says of the readings around it. */
@NullMarked
package org.tenmesh.core.judgement;

import org.jspecify.annotations.NullMarked;
