/** Files as text and as whole folders: what is wrong in them and where, numbers as they stand in files. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.exchange.file;
