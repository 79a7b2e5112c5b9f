/** What the judge found of a day, as files. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.exchange.judged;
