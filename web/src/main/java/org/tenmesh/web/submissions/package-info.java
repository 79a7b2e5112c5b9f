/** Submissions, releases and reports. */
@NullMarked
package org.tenmesh.web.submissions;

import org.jspecify.annotations.NullMarked;
