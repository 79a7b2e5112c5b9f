/** The commands over the laboratory's database: serve, demo, verify. */
@NullMarked
package org.tenmesh.app.laboratory;

import org.jspecify.annotations.NullMarked;
