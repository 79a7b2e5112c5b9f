/** Lots of what is read against and extracted with, equipment with its checks, and what follows where something is expired, overdue or out of service. */
@NullMarked
package org.tenmesh.core.equipment;

import org.jspecify.annotations.NullMarked;
