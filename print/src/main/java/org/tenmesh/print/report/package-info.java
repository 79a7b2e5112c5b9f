/** The client's report as PDF. */
@NullMarked
package org.tenmesh.print.report;

import org.jspecify.annotations.NullMarked;
