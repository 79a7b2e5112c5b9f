/**
 * The pages of the laboratory: sign-in, roles, and what each role may see of the judged day.
 *
 * <p>Entry: {@code Server.start}.
 */
@NullMarked
package org.tenmesh.web;

import org.jspecify.annotations.NullMarked;
