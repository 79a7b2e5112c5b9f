/** Methods for people: listed, shown, their worked examples run, and their pages in the documentation. */
@NullMarked
package org.tenmesh.app.methods;

import org.jspecify.annotations.NullMarked;
