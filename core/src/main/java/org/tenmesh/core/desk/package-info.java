/**
 * The working rules over a judged day: what is asked, what is complete, what is promised, what was ordered or accepted and what that
 * does, where a tray stands. Pages, commands and, later, plan and interface use the same rules.
 */
@NullMarked
package org.tenmesh.core.desk;

import org.jspecify.annotations.NullMarked;
