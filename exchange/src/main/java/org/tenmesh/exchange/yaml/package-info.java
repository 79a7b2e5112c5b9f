/** YAML read with the place of every value. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.exchange.yaml;
