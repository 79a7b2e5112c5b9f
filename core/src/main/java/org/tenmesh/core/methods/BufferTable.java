package org.tenmesh.core.methods;

import java.util.List;

/**
 * The pH of one buffer against temperature.
 *
 * @param name such as "4.01"
 * @param celsius temperatures, rising, °C
 * @param ph pH at each of them
 * @param source where the table was read
 */
public record BufferTable(String name, List<Double> celsius, List<Double> ph, Source source) {
    public BufferTable {
        celsius = List.copyOf(celsius);
        ph = List.copyOf(ph);
        if (celsius.size() != ph.size() || celsius.size() < 2) {
            throw new IllegalArgumentException(
                    "buffer " + name + " needs two or more temperatures with one pH each, found " + celsius.size()
                            + " and " + ph.size());
        }
        for (int i = 1; i < celsius.size(); i++) {
            if (celsius.get(i) <= celsius.get(i - 1)) {
                throw new IllegalArgumentException("buffer " + name + ": temperatures must rise, found "
                        + celsius.get(i - 1) + " then " + celsius.get(i));
            }
        }
    }

    /**
     * pH at a temperature, straight line between neighbours.
     *
     * @param atCelsius °C; outside the table the nearest end holds
     */
    public double phAt(double atCelsius) {
        int last = celsius.size() - 1;
        if (atCelsius <= celsius.get(0)) {
            return ph.get(0);
        }
        if (atCelsius >= celsius.get(last)) {
            return ph.get(last);
        }
        int i = 1;
        while (celsius.get(i) < atCelsius) {
            i++;
        }
        double share = (atCelsius - celsius.get(i - 1)) / (celsius.get(i) - celsius.get(i - 1));
        return ph.get(i - 1) + share * (ph.get(i) - ph.get(i - 1));
    }
}
