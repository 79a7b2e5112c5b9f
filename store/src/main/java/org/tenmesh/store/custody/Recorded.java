package org.tenmesh.store.custody;

import java.util.List;
import org.tenmesh.core.custody.Charge;

/**
 * What the temperature recorder of a device sent.
 *
 * @param device the oven, autoclave or incinerator, named as its charges name it
 */
public record Recorded(String device, List<Charge.Point> points) {
    public Recorded {
        points = List.copyOf(points);
    }
}
