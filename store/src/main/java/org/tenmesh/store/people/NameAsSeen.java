package org.tenmesh.store.people;

import java.text.Normalizer;
import java.util.HashMap;
import java.util.Locale;
import java.util.Map;

/**
 * What is left of a name when everything is taken off that is easily overlooked: capitals, marks on letters, blanks and
 * punctuation, and which of several letters that look alike it is. Two people whose names leave the same cannot be told apart
 * on a report.
 *
 * <p>Letters that look alike: Unicode Consortium, Unicode Technical Standard 39, Unicode Security Mechanisms, data file of
 * confusables, as far as it leads from Latin, Greek, Cyrillic and Armenian letters to those of ASCII.
 */
final class NameAsSeen {
    private NameAsSeen() {}

    private static final Map<Integer, String> LOOK_ALIKE = new HashMap<>();

    static {
        String[] table = {
            "2", "\u01a7\u01bb\u03e8",
            "3", "\u01b7\u021c\u0417\u0498\u04e0",
            "5", "\u01bc",
            "6", "\u03ec\u0431",
            "8", "\u0222\u0223",
            "a", "\u0251\u0391\u03b1\u0410\u0430",
            "ae", "\u00c6\u00e6\u04d4\u04d5",
            "b", "\u0180\u0182\u0183\u0184\u0253\u0392\u0411\u0412\u042c\u0462\u0463\u048c\u048d",
            "bl", "\u042b",
            "c", "\u023c\u0421\u0441\u04aa\u04ab",
            "d", "\u00d0\u0110\u0111\u0189\u018c\u0256\u0257\u0501",
            "dz", "\u02a3",
            "e", "\u0246\u0247\u0395\u0415\u0435\u04bd\u04bf",
            "f", "\u0191\u0192\u03dc\u0584",
            "fn", "\u02a9",
            "g", "\u018d\u01e4\u01e5\u0260\u0261\u050c\u0581",
            "h", "\u0126\u0127\u0266\u0397\u041d\u045b\u04a2\u04bb\u04c7\u04c9\u0570",
            "i", "\u0131\u0268\u0269\u026a\u03b9\u0456\u0582",
            "j", "\u0248\u0249\u037f\u03f3\u0408\u0458",
            "k", "\u0199\u039a\u041a\u049a\u049e",
            "l", "1I\u0141\u0142\u0196\u0197\u019a\u01c0\u026b\u026d\u0399\u0406\u04c0\u04cf",
            "ll", "\u01c1",
            "lo", "\u042e",
            "ls", "\u02aa",
            "lz", "\u02ab",
            "m", "\u039c\u03fa\u041c\u04cd",
            "n", "\u014b\u019d\u019e\u0273\u039d\u03b7\u0572\u0578\u057c",
            "o",
                    "0\u00d8\u00f8\u019f\u0275\u039f\u0398\u03b8\u03bf\u03c3\u03ed\u041e\u043e\u0472\u0473\u04e8\u04e9\u0555\u0585",
            "oe", "\u0152\u0153",
            "p", "\u00fe\u01a5\u01bf\u03a1\u03c1\u03f8\u0420\u0440",
            "q", "\u02a0\u051b\u0563\u0566",
            "r", "\u01a6\u024d\u027c\u027d\u0433\u0493",
            "s", "\u01bd\u0282\u0405\u0455\u054f",
            "t", "\u0166\u0167\u01ad\u01ae\u023e\u03a4\u0422\u04ac",
            "ts", "\u02a6",
            "u", "\u0244\u028b\u03c5\u045f\u054d\u057d",
            "v", "\u03bd\u0474\u0475",
            "w", "\u026f\u0448\u0461\u047d\u051c\u051d\u0561",
            "x", "\u03a7\u0425\u0445\u04b2",
            "y", "\u01b4\u024e\u024f\u0263\u028f\u03a5\u03b3\u0423\u0443\u04ae\u04af\u04b0\u04b1",
            "z", "\u01b5\u01b6\u0224\u0225\u0290\u0396"
        };
        for (int i = 0; i < table.length; i += 2) {
            String seen = table[i];
            table[i + 1].codePoints().forEach(letter -> LOOK_ALIKE.put(letter, seen));
        }
        // Capitals do not count, so i is I, and that is l.
        LOOK_ALIKE.put((int) 'i', "l");
    }

    static String of(String name) {
        StringBuilder seen = new StringBuilder();
        Normalizer.normalize(name, Normalizer.Form.NFKD)
                .codePoints()
                .filter(Character::isLetterOrDigit)
                .forEach(letter -> seen.append(LOOK_ALIKE.getOrDefault(
                        letter,
                        LOOK_ALIKE.getOrDefault(
                                Character.toLowerCase(letter), Character.toString(Character.toLowerCase(letter))))));
        return seen.toString()
                .toLowerCase(Locale.ROOT)
                .replace("i", "l")
                .replace("rn", "m")
                .replace("vv", "w");
    }
}
