package org.tenmesh.app.check;

import java.util.Map;
import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.exchange.MethodFiles;

/** The methods the program ships, by kind. */
final class Shipped {
    private static final Map<String, Method> METHODS = MethodFiles.shipped();

    private Shipped() {}

    static ElectrodeMethod ph() {
        return (ElectrodeMethod) method("ph-water-1-1");
    }

    static IgnitionMethod ignition() {
        return (IgnitionMethod) method("om-loi-360");
    }

    static EmissionMethod mehlich3() {
        return (EmissionMethod) method("mehlich3-icp");
    }

    static Method method(String id) {
        Method method = METHODS.get(id);
        if (method == null) {
            throw new IllegalStateException("the program was packed without method " + id);
        }
        return method;
    }
}
