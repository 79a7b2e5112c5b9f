/** Methods and packages. */
@NullMarked
package org.tenmesh.web.methods;

import org.jspecify.annotations.NullMarked;
