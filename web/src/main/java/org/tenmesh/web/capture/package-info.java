/** Where readings come from: how each source stands, what was set aside, readings typed by hand or sent by HTTP. */
@org.jspecify.annotations.NullMarked
package org.tenmesh.web.capture;
