package org.tenmesh.core.custody;

import java.time.Instant;
import java.util.List;

/**
 * A charge of a device that destroys regulated soil, as it was opened: what was laid down before anything was heated.
 *
 * @param device the named oven, autoclave or incinerator
 * @param permit name and version of the permit that allows the treatment
 * @param sensors every sensor whose record counts; one that is silent makes the charge fail
 * @param uncertaintyK by how much a sensor may read too high, K: taken off every value before it is compared
 */
public record Charge(
        String name,
        String device,
        String permit,
        int permitVersion,
        Treatment treatment,
        List<String> sensors,
        double uncertaintyK,
        String openedBy,
        Instant openedAt) {
    public Charge {
        sensors = List.copyOf(sensors);
        if (name.isBlank() || device.isBlank() || sensors.isEmpty()) {
            throw new IllegalArgumentException("a charge has a name, a device and at least one sensor");
        }
        if (sensors.stream().distinct().count() < sensors.size()) {
            throw new IllegalArgumentException("each sensor is named once, found " + sensors);
        }
        if (!(uncertaintyK >= 0 && uncertaintyK < 100)) {
            throw new IllegalArgumentException("the uncertainty of a sensor is 0 to 100 K, found " + uncertaintyK);
        }
    }

    /**
     * One point of the record.
     *
     * @param celsius as the sensor showed it, °C
     */
    public record Point(Instant at, String sensor, double celsius) {
        public Point {
            if (!(celsius > -90 && celsius < 2000)) {
                throw new IllegalArgumentException("a temperature lies between -90 and 2000 °C, found " + celsius);
            }
        }
    }
}
