/** Fitted curves, their inverse with standard error, and the rules that accept or reject them. */
@NullMarked
package org.tenmesh.core.calibration;

import org.jspecify.annotations.NullMarked;
