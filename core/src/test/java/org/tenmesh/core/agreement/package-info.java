@NullMarked
package org.tenmesh.core.agreement;

import org.jspecify.annotations.NullMarked;
