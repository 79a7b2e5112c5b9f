/** Names of people, checked against a library of the Unicode Consortium. */
@NullMarked
package org.tenmesh.proof.people;

import org.jspecify.annotations.NullMarked;
