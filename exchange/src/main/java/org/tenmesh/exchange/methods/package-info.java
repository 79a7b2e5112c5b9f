/** Methods as YAML files, those that ship and a laboratory's own. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.exchange.methods;
