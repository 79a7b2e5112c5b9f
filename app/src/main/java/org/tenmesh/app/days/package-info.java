/** The commands over day folders: simulate, lay out, read, judge, explain, rounds. */
@NullMarked
package org.tenmesh.app.days;

import org.jspecify.annotations.NullMarked;
