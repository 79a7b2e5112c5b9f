package org.tenmesh.app.check;

/** Something the program can be asked. */
@FunctionalInterface
interface Subject {
    /** The program's answer: a number, or a text where the source prints a word. */
    Object answer(Given given);

    /** A subject whose answer is a number. */
    @FunctionalInterface
    interface Number extends Subject {
        double number(Given given);

        @Override
        default Object answer(Given given) {
            return number(given);
        }
    }
}
