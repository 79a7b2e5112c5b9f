/**
 * Published values held against what the program gives. The checks are files: {@code publications.csv} names the sources, {@code
 * proofs.csv} what is proved and from which source, the other tables hold one check a row, {@code data} the data sets that a row may name.
 */
@NullMarked
package org.tenmesh.app.check;

import org.jspecify.annotations.NullMarked;
