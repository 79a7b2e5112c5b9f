/** Requests and answers as pages see them, and who may do what. */
@NullMarked
package org.tenmesh.web.http;

import org.jspecify.annotations.NullMarked;
