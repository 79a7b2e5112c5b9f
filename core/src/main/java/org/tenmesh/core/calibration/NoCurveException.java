package org.tenmesh.core.calibration;

/** The standards given allow no curve; the message says why, with numbers. */
public final class NoCurveException extends IllegalArgumentException {
    private static final long serialVersionUID = 1L;

    NoCurveException(String message) {
        super(message);
    }
}
