/** The pages in a real browser, by keyboard alone. */
@NullMarked
package org.tenmesh.proof.browser;

import org.jspecify.annotations.NullMarked;
