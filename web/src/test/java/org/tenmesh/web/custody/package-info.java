/** Tests of what is typed about regulated soil. */
@NullMarked
package org.tenmesh.web.custody;

import org.jspecify.annotations.NullMarked;
