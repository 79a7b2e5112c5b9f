/** SHA-256 digests of what a judgement is made from: equal digests, equal content. */
@NullMarked
package org.tenmesh.core.digest;

import org.jspecify.annotations.NullMarked;
