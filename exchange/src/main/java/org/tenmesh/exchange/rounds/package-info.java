/** Proficiency rounds as files. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.exchange.rounds;
