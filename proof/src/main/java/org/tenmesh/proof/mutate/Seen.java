package org.tenmesh.proof.mutate;

/**
 * What was seen of one day with a mistake in it.
 *
 * @param status exit status of the command
 * @param said what tells most: the fault, the first new sentence, or what is gone
 */
record Seen(Outcome outcome, int status, String said) {}
