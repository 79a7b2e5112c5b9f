package org.tenmesh.exchange.day;

import org.tenmesh.core.intake.LabNumber;

/**
 * What is known from earlier folders, so that one that goes on with them need not say it again: a redo brings its runs alone. Asked only
 * for what the folder itself does not have.
 */
public interface Known {
    /** A folder that stands alone. */
    Known NOTHING = new Known() {
        @Override
        public boolean labNumber(String register, LabNumber labNumber) {
            return false;
        }

        @Override
        public boolean material(String register, String material) {
            return false;
        }

        @Override
        public boolean standard(String register, String method, String standard) {
            return false;
        }
    };

    /** Whether the number was given before. */
    boolean labNumber(String register, LabNumber labNumber);

    /** Whether a control material has assigned values. */
    boolean material(String register, String material);

    /** Whether it is known what a standard of this method holds. */
    boolean standard(String register, String method, String standard);
}
