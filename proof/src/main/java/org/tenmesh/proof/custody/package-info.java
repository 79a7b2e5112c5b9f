/** A simulated year of regulated soil, with mistakes whose truth is known, against what the account says of it. */
@NullMarked
package org.tenmesh.proof.custody;

import org.jspecify.annotations.NullMarked;
