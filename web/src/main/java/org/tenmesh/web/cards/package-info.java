/** What several pages show of a judged day: causes, gates, what earlier days left open. */
@NullMarked
package org.tenmesh.web.cards;

import org.jspecify.annotations.NullMarked;
