/** The day of the invented laboratory as it happens: instruments that send, people who act. */
@NullMarked
package org.tenmesh.app.living;

import org.jspecify.annotations.NullMarked;
