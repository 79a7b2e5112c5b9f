/** What a client report says; drawing it is for the print module. */
@NullMarked
package org.tenmesh.core.report;

import org.jspecify.annotations.NullMarked;
