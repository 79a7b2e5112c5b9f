/** The one field that leads to a lab number, tray, run, submission, client, label, instrument or method. */
@NullMarked
package org.tenmesh.web.find;

import org.jspecify.annotations.NullMarked;
