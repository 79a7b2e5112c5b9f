package org.tenmesh.app.check;

import org.tenmesh.core.methods.ElectrodeMethod;
import org.tenmesh.core.methods.EmissionMethod;
import org.tenmesh.core.methods.IgnitionMethod;
import org.tenmesh.core.methods.Method;
import org.tenmesh.exchange.methods.MethodFiles;

/** The methods the program ships, by kind. */
final class Shipped {
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
        return MethodFiles.shipped(id);
    }
}
